import type Database from 'better-sqlite3';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { Decimal, type DecimalText, decimal, decimalsOf, fixed } from '../../../core/quantity/decimal.ts';
import { takenOf } from '../../../core/record/taken.ts';
import { onDisk } from './trouble.ts';

/*
 * What a bottle holds now is what was last said of it less every pour since:
 *
 *   stock = g of the last entry - sum of the nets poured from the lot at or after the time of that entry
 *
 * An entry is what a person stated, received, corrected or weighed; it says the whole content, never a difference, so
 * that pours before it are in it already. Pours count as they were captured, whether their batch was closed, abandoned
 * or is still open, and whatever was withdrawn from the vessel later; a voided pour does not count. An entry is stamped
 * after every pour and entry of its lot that is known, even where the clock was put back.
 *
 * Before step 3 of the database a lot stated its stock in its own body and no pour was taken off it. Such a stock
 * becomes an entry at the time of the migration: it counts from then on, and no earlier batch is taken off it, since
 * nobody knows whether the person had kept it up to date. The body of a lot holds no stock any more.
 */

export const ENTRY_KINDS = ['stated', 'weighed', 'received', 'corrected'] as const;

/** What was said of the content of a bottle. Masses in g. */
export interface StockEntry {
  readonly lot: string;
  /** RFC 3339, UTC. */
  readonly at: string;
  readonly kind: (typeof ENTRY_KINDS)[number];
  /** The whole content from then on. */
  readonly g: DecimalText;
  readonly who: string;
  readonly why: string;
  /** What was reckoned to be there just before; null where nothing was known. */
  readonly expected: DecimalText | null;
  /** The bottle on the balance, and empty, where it was weighed. */
  readonly gross?: DecimalText;
  readonly empty?: DecimalText;
}

/** What one batch took out of a lot, from one entry of it to the next. */
export interface BatchTaking {
  readonly batch: string;
  readonly name: string;
  readonly status: 'open' | 'closed' | 'abandoned';
  readonly at: string;
  readonly g: DecimalText;
  readonly pours: number;
}

export interface StockStore {
  /** What every lot with an entry holds now, in g; below zero where more was poured than was said to be there. */
  all(): ReadonlyMap<string, DecimalText>;
  /** The same of one lot; null where nothing was ever said of it. */
  of(lot: string): DecimalText | null;
  /** The most that each lot was ever said to hold, g; for telling how full it is only. */
  most(): ReadonlyMap<string, number>;
  /** The oldest first. */
  entries(lot: string): StockEntry[];
  /** Every pour from a lot, the oldest first, joined where one batch poured from it several times between two entries. */
  takings(lot: string): BatchTaking[];
  /** Appends an entry; inside or outside a transaction. @returns it as it was stored */
  append(entry: Omit<StockEntry, 'at' | 'expected'>, now: string): StockEntry;
}

interface EntryRow {
  readonly lot: string;
  readonly at: string;
  readonly kind: StockEntry['kind'];
  readonly g: string;
  readonly body: string;
}

interface OpenPour {
  readonly batch: string;
  readonly name: string;
  readonly lot: string;
  readonly at: string;
  readonly g: string;
}

const NANO = 9;
const zero = new Decimal(0);

const laterOf = (a: string, b: string): string => (a < b ? b : a);
const afterThe = (at: string): string => new Date(Date.parse(at) + 1).toISOString();

const left = (stated: DecimalText, taken: Decimal): DecimalText => {
  const rest = decimal(stated).minus(taken);
  return fixed(rest, Math.max(decimalsOf(stated), rest.decimalPlaces()));
};

/** Pours of batches without an end, from their events: they are summed up only when they end. */
function openPours(db: Database.Database): () => OpenPour[] {
  const rows = db.prepare<[], { batch: string; name: string; n: number; at: string; body: string }>(
    `SELECT event.batch, batch.name, event.n, event.at, event.body FROM batch JOIN event ON event.batch = batch.id
     WHERE batch.status = 'open' AND event.type IN ('captured', 'revised', 'voided') ORDER BY event.batch, event.n`,
  );
  return () => {
    const byBatch = Map.groupBy(rows.all(), (row) => row.batch);
    return [...byBatch].flatMap(([batch, own]) => {
      const events = own.map(
        ({ n, at, body }): StoredEvent => ({
          ...{ batch, n, at, prev: '', hash: '' },
          event: JSON.parse(body) as PourEvent,
        }),
      );
      const name = own[0]?.name ?? '';
      return takenOf(events).map(({ lot, at, g }) => ({ batch, name, lot, at, g }));
    });
  };
}

/** What was last said of a lot, and what ended batches took since. */
interface Sum {
  readonly stated: DecimalText;
  readonly since: string;
  readonly taken: Decimal;
  readonly left: DecimalText;
}

/** The sum of one lot as the database has it; null where nothing was ever said of it. */
function openSum(db: Database.Database): (lot: string) => Sum | null {
  const last = db.prepare<[string], { at: string; g: string }>(
    'SELECT at, g FROM stock_entry WHERE lot = ? ORDER BY at DESC, n DESC LIMIT 1',
  );
  /* Nets are summed as whole nanograms, exactly: no balance shows more decimals of a gram than that. */
  const since = db.prepare<[string, string], { ng: number }>(
    `SELECT coalesce(sum(CAST(round(g * 1e${NANO}) AS INTEGER)), 0) AS ng FROM lot_pour WHERE lot = ? AND at >= ?`,
  );
  return (lot) => {
    const entry = last.get(lot);
    if (entry === undefined) return null;
    const taken = new Decimal(since.get(lot, entry.at)?.ng ?? 0).div(new Decimal(10).pow(NANO));
    return { stated: entry.g, since: entry.at, taken, left: left(entry.g, taken) };
  };
}

/** The sums of all lots, kept in memory. What changes is marked by triggers that only this connection has. */
function openSums(db: Database.Database, sumOf: (lot: string) => Sum | null): () => ReadonlyMap<string, Sum> {
  db.exec(`
CREATE TEMP TABLE stock_stale (lot TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TRIGGER stock_stale_entry AFTER INSERT ON main.stock_entry
  BEGIN INSERT OR IGNORE INTO stock_stale VALUES (NEW.lot); END;
CREATE TEMP TRIGGER stock_stale_pour AFTER INSERT ON main.lot_pour
  BEGIN INSERT OR IGNORE INTO stock_stale VALUES (NEW.lot); END;
CREATE TEMP TRIGGER stock_stale_gone AFTER DELETE ON main.lot_pour
  BEGIN INSERT OR IGNORE INTO stock_stale VALUES (OLD.lot); END;
INSERT INTO stock_stale SELECT DISTINCT lot FROM stock_entry;
`);
  const stale = db.prepare<[], { lot: string }>('SELECT lot FROM temp.stock_stale');
  const clear = db.prepare('DELETE FROM temp.stock_stale');
  const kept = new Map<string, Sum>();
  return () => {
    const changed = stale.all();
    /* What a transaction has not yet stored may never be: it is not kept. */
    const sums = db.inTransaction ? new Map(kept) : kept;
    for (const { lot } of changed) {
      const sum = sumOf(lot);
      if (sum !== null) sums.set(lot, sum);
    }
    if (changed.length > 0 && !db.inTransaction) clear.run();
    return sums;
  };
}

/** What one lot holds, with what open batches took of it. */
function present(lot: string, sum: Sum, open: readonly OpenPour[]): DecimalText {
  const more = open
    .filter((one) => one.lot === lot && one.at >= sum.since)
    .reduce((total, { g }) => total.plus(decimal(g)), zero);
  return more.isZero() ? sum.left : left(sum.stated, sum.taken.plus(more));
}

interface PourRow extends OpenPour {
  readonly status: BatchTaking['status'];
}

/** Pours of one batch that no entry stands between become one taking. */
function joined(pours: readonly PourRow[], entries: readonly StockEntry[]): BatchTaking[] {
  const between = (at: string): number => entries.filter((entry) => entry.at <= at).length;
  const groups = Map.groupBy(pours, ({ batch, at }) => `${between(at)} ${batch}`);
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const sum = group.reduce((total, { g }) => total.plus(decimal(g)), zero);
    const decimals = Math.max(...group.map(({ g }) => decimalsOf(g)));
    const { batch, name, status, at } = first;
    return [{ batch, name, status, at, g: fixed(sum, decimals), pours: group.length }];
  });
}

/** Stock of the lots on an open database. */
export function openStock(db: Database.Database): StockStore {
  const insert = db.prepare('INSERT INTO stock_entry (lot, at, kind, g, body) VALUES (?, ?, ?, ?, ?)');
  const ofLot = db.prepare<[string], EntryRow>(
    'SELECT lot, at, kind, g, body FROM stock_entry WHERE lot = ? ORDER BY at, n',
  );
  const pours = db.prepare<[string], PourRow>(
    `SELECT batch, name, status, lot, at, g FROM lot_pour JOIN batch ON batch.id = lot_pour.batch
     WHERE lot = ? ORDER BY at, batch, pour`,
  );
  const lastPour = db.prepare<[string], { at: string | null }>(
    'SELECT max(at) AS at FROM lot_pour WHERE lot = ?',
  );
  const most = db.prepare<[], { lot: string; g: number }>(
    'SELECT lot, max(CAST(g AS REAL)) AS g FROM stock_entry GROUP BY lot',
  );
  const open = openPours(db);
  const sumOf = openSum(db);
  const sums = openSums(db, sumOf);
  const of = (lot: string): DecimalText | null => {
    const sum = sumOf(lot);
    return sum === null ? null : present(lot, sum, open());
  };
  const entries = (lot: string): StockEntry[] =>
    ofLot
      .all(lot)
      .map(({ body, ...row }) => ({ ...row, ...(JSON.parse(body) as Omit<StockEntry, keyof EntryRow>) }));

  function stampFor(lot: string, now: string): string {
    const poured = [
      lastPour.get(lot)?.at ?? '',
      ...open()
        .filter((one) => one.lot === lot)
        .map((one) => one.at),
    ];
    const last = poured.reduce(laterOf);
    const after = last === '' ? now : laterOf(now, afterThe(last));
    return laterOf(after, entries(lot).at(-1)?.at ?? '');
  }

  return {
    all: () => {
      const now = open();
      const touched = new Set(now.map((one) => one.lot));
      return new Map(
        [...sums()].map(([lot, sum]) => [lot, touched.has(lot) ? present(lot, sum, now) : sum.left]),
      );
    },
    of,
    most: () => new Map(most.all().map(({ lot, g }) => [lot, g])),
    entries,
    takings: (lot) => {
      const now = open().filter((one) => one.lot === lot);
      const known: PourRow[] = [
        ...pours.all(lot),
        ...now.map((one) => ({ ...one, status: 'open' as const })),
      ];
      return joined(
        known.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)),
        entries(lot),
      );
    },
    append: ({ lot, kind, g, ...more }, now) => {
      const at = stampFor(lot, now);
      const body = { ...more, expected: of(lot) };
      onDisk(db.name, () => insert.run(lot, at, kind, g, JSON.stringify(body)));
      return { lot, at, kind, g, ...body };
    },
  };
}

/**
 * Stocks that lots state in their own body become entries, as of `now`; the body states none any more. The caller holds
 * the transaction.
 */
export function stateStocks(db: Database.Database, now: string): void {
  const body = JSON.stringify({
    who: '',
    why: 'as the lot stated it when pours began to be taken off',
    expected: null,
  });
  db.prepare(
    `INSERT INTO stock_entry (lot, at, kind, g, body)
     SELECT code, ?, 'stated', json_extract(body, '$.stock'), ? FROM lot
     WHERE json_extract(body, '$.stock') IS NOT NULL
       AND NOT EXISTS (SELECT 1 FROM stock_entry WHERE stock_entry.lot = lot.code) ORDER BY code`,
  ).run(now, body);
  db.prepare(
    "UPDATE lot SET body = json_remove(body, '$.stock') WHERE json_extract(body, '$.stock') IS NOT NULL",
  ).run();
}
