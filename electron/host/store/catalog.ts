import type Database from 'better-sqlite3';
import { StoreTrouble } from './trouble.ts';

/** One batch as listed. `total` is known once closed. */
export interface BatchRow {
  readonly id: string;
  readonly name: string;
  readonly started: string;
  readonly status: 'open' | 'closed' | 'abandoned';
  readonly total: string | null;
}

/** A batch as found: with what was not as planned. */
export interface FoundBatch extends BatchRow {
  /** Place in the order batches came in; what the next page is asked by. */
  readonly no: number;
  readonly operator: string | null;
  readonly strength: string | null;
  readonly worst: number | null;
  readonly marks: string;
  readonly trouble: string | null;
}

export const FIELDS = ['name', 'lot', 'material', 'operator', 'deviation'] as const;
export type Field = (typeof FIELDS)[number];

/** What is looked for; all that is given must hold. */
export interface BatchQuery {
  /** Beginnings of words, in any field, in any order. */
  readonly words?: string | undefined;
  /** The same, each in its own field. */
  readonly in?: Partial<Readonly<Record<Field, string | undefined>>> | undefined;
  /** First and last day of the start, "2026-01-31", UTC. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  readonly status?: BatchRow['status'] | undefined;
  /** A line that is off its target by at least so many per cent of it. */
  readonly worst?: number | undefined;
  /** The page after the batch with this place. */
  readonly after?: number | undefined;
  /** At most so many, 1 to 500. */
  readonly limit: number;
}

export interface StrengthPoint {
  readonly batch: string;
  readonly name: string;
  readonly started: string;
  readonly strength: string;
  readonly u: string;
  readonly target: string;
}

export interface LotRow {
  readonly batch: string;
  readonly lot: string;
  readonly madeBy: string | null;
  readonly share: string;
}

/** Finds batches by their summaries. */
export interface Catalog {
  /** The latest first: those of an archive came in with it, in the order they were begun. */
  find(query: BatchQuery): { readonly rows: FoundBatch[]; readonly more: boolean };
  row(batch: string): BatchRow | null;
  /** Batches without an end, the latest first. */
  open(): BatchRow[];
  count(): number;
  /** Strength of every closed batch of one formula, the oldest first. */
  strengths(formula: string): StrengthPoint[];
  /** Batches that have ended and were poured from a lot. */
  usesOf(lot: string): LotRow[];
  /** All lots of a batch that has ended. */
  lotsOf(batch: string): LotRow[];
  /** Batches whose events cannot be read: which lots they hold is not known. */
  unread(): BatchRow[];
  /** Lots that batches were poured from and that were made by this batch. */
  lotsMadeBy(batch: string): string[];
}

const ROW = 'batch.id, batch.name, batch.started, batch.status, batch.total';
const FOUND = `SELECT no, ${ROW}, operator, strength, worst, marks, trouble FROM batch_summary JOIN batch ON batch.id = batch_summary.batch`;

/** Words as a query of the full-text index: each the beginning of a word, all of them in `field` or anywhere. */
function match(words: string, field: Field | null): string[] {
  const parts = words
    .normalize('NFC')
    .split(/\s+/)
    .filter((word) => /[\p{L}\p{N}]/u.test(word));
  return parts.map((word) => `${field === null ? '' : `${field} : `}"${word.replaceAll('"', '""')}"*`);
}

const DAY = /^\d{4}-\d\d-\d\d$/;

function day(text: string, field: string): string {
  if (DAY.test(text) && !Number.isNaN(Date.parse(text))) return text;
  throw new StoreTrouble(`"${text}" is no day.`, field, 'Write it as year, month and day: 2026-01-31.');
}

/** The parts of a WHERE clause with their values. */
function conditions(query: BatchQuery): { readonly sql: string; readonly values: (string | number)[] } {
  const parts: string[] = [];
  const values: (string | number)[] = [];
  const want = (sql: string, value: string | number): void => {
    parts.push(sql);
    values.push(value);
  };
  const words = [
    ...match(query.words ?? '', null),
    ...FIELDS.flatMap((field) => match(query.in?.[field] ?? '', field)),
  ];
  if (words.length > 0)
    want('no IN (SELECT rowid FROM batch_words WHERE batch_words MATCH ?)', words.join(' AND '));
  if (query.from !== undefined) want('batch_summary.started >= ?', day(query.from, 'from'));
  if (query.to !== undefined) want('batch_summary.started < ?', `${day(query.to, 'to')}U`);
  if (query.status !== undefined) want('batch.status = ?', query.status);
  if (query.worst !== undefined) want('worst >= ?', query.worst);
  if (query.after !== undefined) want('no < ?', query.after);
  return { sql: parts.length === 0 ? '' : ` WHERE ${parts.join(' AND ')}`, values };
}

/** Catalog on an open database. */
export function openCatalog(db: Database.Database): Catalog {
  const row = db.prepare<[string], BatchRow>(`SELECT ${ROW} FROM batch WHERE id = ?`);
  const open = db.prepare<[], BatchRow>(
    `SELECT ${ROW} FROM batch WHERE status = 'open' ORDER BY started DESC, id`,
  );
  const count = db.prepare<[], { n: number }>('SELECT count(*) AS n FROM batch');
  const strengths = db.prepare<[string], StrengthPoint>(
    `SELECT batch.id AS batch, batch.name, batch.started, strength, strength_u AS u, strength_target AS target
     FROM batch_summary JOIN batch ON batch.id = batch_summary.batch
     WHERE formula = ? AND batch.status = 'closed' AND strength IS NOT NULL ORDER BY batch.started, no`,
  );
  const LOT = 'SELECT batch, lot, made_by AS madeBy, share FROM batch_lot';
  const usesOf = db.prepare<[string], LotRow>(`${LOT} WHERE lot = ?`);
  const lotsOf = db.prepare<[string], LotRow>(`${LOT} WHERE batch = ? ORDER BY lot`);
  const lotsMadeBy = db.prepare<[string], { lot: string }>(
    'SELECT DISTINCT lot FROM batch_lot WHERE made_by = ?',
  );
  const unread = db.prepare<[], BatchRow>(
    `SELECT ${ROW} FROM batch_summary JOIN batch ON batch.id = batch_summary.batch
     WHERE trouble IS NOT NULL AND NOT EXISTS (SELECT 1 FROM batch_lot WHERE batch_lot.batch = batch.id) ORDER BY no`,
  );
  return {
    unread: () => unread.all(),
    find: (query) => {
      const { sql, values } = conditions(query);
      const limit = Math.min(500, Math.max(1, Math.trunc(query.limit)));
      const found = db
        .prepare<(string | number)[], FoundBatch>(`${FOUND}${sql} ORDER BY no DESC LIMIT ${limit + 1}`)
        .all(...values);
      return { rows: found.slice(0, limit), more: found.length > limit };
    },
    row: (batch) => row.get(batch) ?? null,
    open: () => open.all(),
    count: () => count.get()?.n ?? 0,
    strengths: (formula) => strengths.all(formula),
    usesOf: (lot) => usesOf.all(lot),
    lotsOf: (batch) => lotsOf.all(batch),
    lotsMadeBy: (batch) => lotsMadeBy.all(batch).map((one) => one.lot),
  };
}
