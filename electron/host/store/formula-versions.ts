import type Database from 'better-sqlite3';
import { type Resolution, resolve, type Sources } from '../../../core/formula/resolve.ts';
import type { Formula, Lot, Material } from '../../../core/formula/types.ts';
import { accordsOf, type WrittenFormula, writtenOf } from '../../../core/formula/written.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import { type Known, openKnown } from './known.ts';
import { onDisk, StoreTrouble } from './trouble.ts';

/** One version of a formula as stored. */
export interface FormulaVersion {
  readonly id: string;
  readonly n: number;
  /** When it was saved, RFC 3339. */
  readonly at: string;
  readonly why: string;
  /** It was poured, or is an accord of another formula: it never changes. */
  readonly fixed: boolean;
  readonly written: WrittenFormula;
  /** What is planned from it: fractions of neat materials and solvents. */
  readonly formula: Formula;
  /** The batch whose as-made composition it took over; null for others. */
  readonly adopted: string | null;
}

export interface SaveHow {
  readonly why: string;
  /** RFC 3339. */
  readonly at: string;
  /** Number of the version that was changed: refused where another stands at the head by now. */
  readonly base?: number | undefined;
  /** The batch whose as-made composition it takes over. */
  readonly adopted?: string | undefined;
  /** It takes a number of its own, also where the head was never poured. */
  readonly asNew?: boolean | undefined;
}

/** A batch that was poured from a version. */
export interface PouredBatch {
  readonly batch: string;
  readonly name: string;
  readonly started: string;
  readonly status: 'open' | 'closed' | 'abandoned';
  readonly n: number;
}

/** Versions of formulas. The head of each is what table `formula` holds and plans are made from. */
export interface FormulaVersions {
  /**
   * Saves a formula: over the head where that was neither poured nor is part of another formula, else as the next
   * version; the same text again changes nothing. Accords that it names are fixed from then on.
   * @throws FormulaTrouble when it cannot be resolved, StoreTrouble when the head is another than `base`
   */
  save(written: WrittenFormula, how: SaveHow): { readonly formula: Formula; readonly version: number };
  /** The newest version; null when there is no such formula. */
  head(id: string): FormulaVersion | null;
  at(id: string, n: number): FormulaVersion | null;
  /** All versions, the newest first. */
  list(id: string): FormulaVersion[];
  /** Resolves without saving. @throws FormulaTrouble */
  resolve(written: WrittenFormula): Resolution;
  /** Batches of a formula, the newest first. */
  batchesOf(id: string): PouredBatch[];
  /** Versions of other formulas that have this one as an accord, by the version they have. */
  usedBy(id: string): { readonly n: number; readonly formula: string; readonly version: number }[];
  /** The version that took over a batch as made; null when none did. */
  adoptedFrom(batch: string): { readonly id: string; readonly n: number } | null;
  /** Lots that a batch of this formula became. */
  bottlesOf(id: string): Lot[];
  /** Materials, and the heads of all formulas: the same object until something is stored. */
  known(): Known;
}

interface Row {
  readonly formula: string;
  readonly n: number;
  readonly at: string;
  readonly fixed: number;
  readonly adopted: string | null;
  readonly body: string;
}

interface Body {
  readonly why: string;
  readonly written: WrittenFormula;
  readonly formula: Formula;
}

/** Why the first version of a formula that came without one is there. */
const AS_IT_CAME = 'as it came into the workshop';

function versionOf(row: Row): FormulaVersion {
  const { why, written, formula } = JSON.parse(row.body) as Body;
  return {
    id: row.formula,
    n: row.n,
    at: row.at,
    why,
    fixed: row.fixed === 1,
    written,
    formula,
    adopted: row.adopted,
  };
}

/** What is told of a formula that came without versions: it counts as version 1. */
function firstOf(formula: Formula, at: string): FormulaVersion {
  return {
    id: formula.id,
    n: 1,
    at,
    why: AS_IT_CAME,
    fixed: false,
    written: writtenOf(formula),
    formula: { ...formula, version: 1 },
    adopted: null,
  };
}

function lookups(db: Database.Database) {
  const body = (table: string, key: string) =>
    db.prepare<[string], { body: string }>(`SELECT body FROM ${table} WHERE ${key} = ?`);
  const [materials, lots, formulas] = [body('material', 'key'), body('lot', 'code'), body('formula', 'id')];
  const read = <T>(row: { body: string } | undefined): T | null =>
    row === undefined ? null : (JSON.parse(row.body) as T);
  const maker = db.prepare<[string], { formula: string | null }>(
    'SELECT formula FROM batch_summary WHERE batch = ?',
  );
  return {
    material: (key: string) => read<Material>(materials.get(key)),
    lot: (code: string) => read<Lot>(lots.get(code)),
    formula: (id: string) => read<Formula>(formulas.get(id)),
    madeBy: (lot: Lot) => (lot.madeBy === undefined ? null : (maker.get(lot.madeBy)?.formula ?? null)),
  };
}

function statements(db: Database.Database) {
  const COLUMNS = 'formula, n, at, fixed, adopted, body';
  return {
    head: db.prepare<[string], Row>(
      `SELECT ${COLUMNS} FROM formula_version WHERE formula = ? ORDER BY n DESC LIMIT 1`,
    ),
    at: db.prepare<[string, number], Row>(
      `SELECT ${COLUMNS} FROM formula_version WHERE formula = ? AND n = ?`,
    ),
    all: db.prepare<[string], Row>(
      `SELECT ${COLUMNS} FROM formula_version WHERE formula = ? ORDER BY n DESC`,
    ),
    insert: db.prepare(
      'INSERT INTO formula_version (formula, n, at, fixed, adopted, body) VALUES (?, ?, ?, ?, ?, ?)',
    ),
    replace: db.prepare(
      'UPDATE formula_version SET at = ?, adopted = ?, body = ? WHERE formula = ? AND n = ?',
    ),
    fix: db.prepare('UPDATE formula_version SET fixed = 1 WHERE formula = ? AND n = ? AND fixed = 0'),
    put: db.prepare(
      'INSERT INTO formula (id, name, body) VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET name = excluded.name, body = excluded.body',
    ),
    clearAccords: db.prepare('DELETE FROM formula_accord WHERE formula = ? AND n = ?'),
    addAccord: db.prepare('INSERT INTO formula_accord (formula, n, accord, accord_n) VALUES (?, ?, ?, ?)'),
    usedBy: db.prepare<[string], { n: number; formula: string; version: number }>(
      'SELECT accord_n AS n, formula, n AS version FROM formula_accord WHERE accord = ? ORDER BY formula, version',
    ),
    batches: db.prepare<[string], PouredBatch>(
      `SELECT batch.id AS batch, batch.name, batch.started, batch.status, coalesce(formula_batch.n, 1) AS n
       FROM batch_summary JOIN batch ON batch.id = batch_summary.batch
       LEFT JOIN formula_batch ON formula_batch.batch = batch.id
       WHERE batch_summary.formula = ? ORDER BY batch_summary.no DESC`,
    ),
    adopted: db.prepare<[string], { id: string; n: number }>(
      'SELECT formula AS id, n FROM formula_version WHERE adopted = ? ORDER BY n DESC LIMIT 1',
    ),
    bottles: db.prepare<[string], { body: string }>(
      `SELECT lot.body FROM lot JOIN batch_summary ON batch_summary.batch = json_extract(lot.body, '$.madeBy')
       WHERE batch_summary.formula = ? ORDER BY lot.code`,
    ),
    usedInBatch: db.prepare('INSERT OR IGNORE INTO formula_batch (batch, formula, n) VALUES (?, ?, ?)'),
    started: db.prepare<[string], { at: string }>(
      'SELECT min(started) AS at FROM batch_summary WHERE formula = ?',
    ),
  };
}

/** Version 1 of a formula that has none yet, stored. The caller holds the transaction. */
function keepFirst(
  sql: ReturnType<typeof statements>,
  { id, n, at, written, formula, why }: FormulaVersion,
  fixed: boolean,
): void {
  sql.insert.run(id, n, at, fixed ? 1 : 0, null, JSON.stringify({ why, written, formula } satisfies Body));
}

/**
 * What stands beside the first event of a batch: the version it was poured from is fixed and remembered. A formula
 * without versions gets its first. The caller holds the transaction that stores the event.
 */
export function openPouredVersions(
  db: Database.Database,
): (batch: string, formula: Formula, at: string) => void {
  const sql = statements(db);
  const look = lookups(db);
  return (batch, { id, version }, at) => {
    if (version === undefined) return;
    if (sql.at.get(id, version) === undefined) {
      const stored = look.formula(id);
      if (stored === null || version !== 1) return;
      keepFirst(sql, firstOf(stored, at), true);
    } else sql.fix.run(id, version);
    sql.usedInBatch.run(batch, id, version);
  };
}

/** Versions on an open database. */
export function openFormulaVersions(db: Database.Database): FormulaVersions {
  const sql = statements(db);
  const look = lookups(db);
  const cameAt = (id: string): string => sql.started.get(id)?.at ?? '1970-01-01T00:00:00.000Z';
  /** A formula that has no version yet, as its first. */
  const unversioned = (id: string): FormulaVersion | null => {
    const formula = look.formula(id);
    return formula === null ? null : firstOf(formula, cameAt(id));
  };
  const head = (id: string): FormulaVersion | null => {
    const row = sql.head.get(id);
    return row === undefined ? unversioned(id) : versionOf(row);
  };
  const at = (id: string, n: number): FormulaVersion | null => {
    const row = sql.at.get(id, n);
    if (row !== undefined) return versionOf(row);
    return n === 1 && sql.head.get(id) === undefined ? unversioned(id) : null;
  };
  const sources: Sources = {
    accord: (id, n) => at(id, n)?.written ?? null,
    lot: look.lot,
    madeBy: look.madeBy,
    nameOf: (key) => look.material(key)?.name ?? null,
    isSolvent: (key) => look.material(key)?.kind === 'solvent',
  };

  /** A formula that is named as an accord, or was poured before versions were kept, has its first version stored. */
  function fix(id: string, n: number): void {
    if (sql.fix.run(id, n).changes > 0 || sql.at.get(id, n) !== undefined) return;
    const first = unversioned(id);
    if (first !== null) keepFirst(sql, first, true);
  }

  /** The number that a change of `before` is stored under. */
  function numberAfter(before: FormulaVersion | null, asNew: boolean): number {
    if (before === null) return 1;
    const stored = sql.at.get(before.id, before.n) !== undefined;
    if (!stored) {
      const poured = sql.batches.all(before.id).length > 0;
      keepFirst(sql, before, poured);
      return poured || asNew ? before.n + 1 : before.n;
    }
    return before.fixed || asNew ? before.n + 1 : before.n;
  }

  function store(written: WrittenFormula, how: SaveHow): { formula: Formula; version: number } {
    const before = head(written.id);
    if (before !== null && how.base !== undefined && how.base !== before.n)
      throw new StoreTrouble(
        `"${before.written.name}" is at version ${before.n} by now; this was written from version ${how.base}.`,
        'formula',
        'Look at the newest version, and save yours under another name if both are wanted.',
      );
    if (before !== null && canonicalJson(before.written) === canonicalJson(written))
      return { formula: before.formula, version: before.n };
    const { formula: resolved } = resolve(written, sources);
    const n = numberAfter(before, how.asNew === true);
    const formula: Formula = { ...resolved, version: n };
    const body = JSON.stringify({ why: how.why, written, formula } satisfies Body);
    if (sql.at.get(written.id, n) === undefined)
      sql.insert.run(written.id, n, how.at, 0, how.adopted ?? null, body);
    else sql.replace.run(how.at, how.adopted ?? null, body, written.id, n);
    sql.clearAccords.run(written.id, n);
    for (const accord of accordsOf(written)) {
      fix(accord.formula, accord.version);
      sql.addAccord.run(written.id, n, accord.formula, accord.version);
    }
    sql.put.run(written.id, written.name, JSON.stringify(formula));
    return { formula, version: n };
  }

  return {
    save: (written, how) =>
      onDisk(
        db.name,
        db.transaction(() => store(written, how)),
      ),
    head,
    at,
    list: (id) => {
      const rows = sql.all.all(id).map(versionOf);
      const first = rows.length === 0 ? unversioned(id) : null;
      return first === null ? rows : [first];
    },
    resolve: (written) => resolve(written, sources),
    batchesOf: (id) => sql.batches.all(id),
    usedBy: (id) => sql.usedBy.all(id),
    adoptedFrom: (batch) => sql.adopted.get(batch) ?? null,
    known: openKnown(db),
    bottlesOf: (id) => sql.bottles.all(id).map((row) => JSON.parse(row.body) as Lot),
  };
}
