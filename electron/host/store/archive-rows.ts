import type Database from 'better-sqlite3';
import { accordsOf } from '../../../core/formula/written.ts';
import type { StoredEvent } from '../../../core/pour/events.ts';
import type { FormulaVersionInFile } from '../../../core/record/workshop-file.ts';
import { openSummaries } from './summaries.ts';

/** What was said of a bottle's content, as stored. */
export interface StockRow {
  readonly lot: string;
  readonly at: string;
  readonly kind: string;
  readonly g: string;
  readonly body: string;
}

/** A note or a check as stored: only ever added. */
export interface NoteRow {
  readonly batch: string;
  readonly at: string;
  readonly body: string;
}
export interface CheckRow {
  readonly profile: string;
  readonly at: string;
  readonly kind: string;
  readonly body: string;
}

/** Everything beside the events of a batch. */
export interface BatchRows {
  readonly batch: {
    readonly id: string;
    readonly name: string;
    readonly started: string;
    readonly status: string;
    readonly total: string | null;
  };
  /** The version it was poured from. */
  readonly version: { readonly formula: string; readonly n: number } | null;
  readonly events: readonly StoredEvent[];
  /** Packed readings by the number of their event. */
  readonly traces: readonly { readonly n: number; readonly body: Uint8Array }[];
}

/** Rows as an archive carries them, read and added as they are. Adding is done within the caller's transaction. */
export interface ArchiveRows {
  stock(): StockRow[];
  addStock(row: StockRow): void;
  /** What stands beside the events of a batch that has ended. */
  batch(id: string, events: readonly StoredEvent[]): BatchRows;
  /** Adds a batch whose chain was verified; of one that is here, the events that follow. */
  addBatch(rows: BatchRows, from: number): void;
  /** Remembers the version a batch was poured from, where nothing is remembered yet. */
  pouredFrom(batch: string, formula: string, n: number): void;
  /** Adds a version under its own number. */
  addVersion(id: string, version: FormulaVersionInFile): void;
  trials(): { readonly batch: string; readonly body: string }[];
  addTrial(batch: string, body: string): void;
  notes(): NoteRow[];
  addNote(row: NoteRow): void;
  profiles(): { readonly id: string; readonly body: string }[];
  checks(): CheckRow[];
}

function batchRows(db: Database.Database): Pick<ArchiveRows, 'batch' | 'addBatch' | 'pouredFrom'> {
  const one = db.prepare<[string], BatchRows['batch']>(
    'SELECT id, name, started, status, total FROM batch WHERE id = ?',
  );
  const version = db.prepare<[string], { formula: string; n: number }>(
    'SELECT formula, n FROM formula_batch WHERE batch = ?',
  );
  const traces = db.prepare<[string], { n: number; body: Buffer }>(
    'SELECT n, body FROM packed_trace WHERE batch = ? ORDER BY n',
  );
  const addBatch = db.prepare(
    'INSERT OR IGNORE INTO batch (id, name, started, status, total) VALUES (?, ?, ?, ?, ?)',
  );
  const addEvent = db.prepare(
    'INSERT INTO event (batch, n, at, type, body, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const addTrace = db.prepare('INSERT INTO packed_trace (batch, n, body) VALUES (?, ?, ?)');
  const setHead = db.prepare('UPDATE batch SET events = ?, head = ? WHERE id = ?');
  const poured = db.prepare('INSERT OR IGNORE INTO formula_batch (batch, formula, n) VALUES (?, ?, ?)');
  const summaries = openSummaries(db);
  return {
    batch: (id, events) => {
      const row = one.get(id);
      if (row === undefined) throw new RangeError(`there is no batch "${id}"`);
      return { batch: row, version: version.get(id) ?? null, events, traces: traces.all(id) };
    },
    addBatch: ({ batch, events, traces: kept }, from) => {
      addBatch.run(batch.id, batch.name, batch.started, batch.status, batch.total);
      for (const { n, at, event, prev, hash } of events.slice(from))
        addEvent.run(batch.id, n, at, event.type, JSON.stringify(event), prev, hash);
      for (const { n, body } of kept) if (n > from) addTrace.run(batch.id, n, Buffer.from(body));
      setHead.run(events.length, events.at(-1)?.hash ?? '', batch.id);
      summaries.put(events);
    },
    pouredFrom: (batch, formula, n) => {
      poured.run(batch, formula, n);
    },
  };
}

/** Rows of an archive on an open database. */
export function openArchiveRows(db: Database.Database): ArchiveRows {
  const all = <T>(sql: string): (() => T[]) => {
    const statement = db.prepare<[], T>(sql);
    return () => statement.all();
  };
  const addStock = db.prepare('INSERT INTO stock_entry (lot, at, kind, g, body) VALUES (?, ?, ?, ?, ?)');
  const addTrial = db.prepare('INSERT OR IGNORE INTO trial (batch, body) VALUES (?, ?)');
  const addNote = db.prepare('INSERT INTO trial_note (batch, at, body) VALUES (?, ?, ?)');
  const addVersion = db.prepare(
    'INSERT INTO formula_version (formula, n, at, fixed, adopted, body) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const addAccord = db.prepare(
    'INSERT OR IGNORE INTO formula_accord (formula, n, accord, accord_n) VALUES (?, ?, ?, ?)',
  );
  const putFormula = db.prepare(
    'INSERT INTO formula (id, name, body) VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET name = excluded.name, body = excluded.body',
  );
  return {
    ...batchRows(db),
    stock: all<StockRow>('SELECT lot, at, kind, g, body FROM stock_entry ORDER BY n'),
    addStock: ({ lot, at, kind, g, body }) => {
      addStock.run(lot, at, kind, g, body);
    },
    addVersion: (id, { n, at, why, fixed, adopted, written, formula }) => {
      addVersion.run(id, n, at, fixed ? 1 : 0, adopted, JSON.stringify({ why, written, formula }));
      for (const accord of accordsOf(written)) addAccord.run(id, n, accord.formula, accord.version);
      putFormula.run(id, written.name, JSON.stringify(formula));
    },
    trials: all('SELECT batch, body FROM trial ORDER BY batch'),
    addTrial: (batch, body) => {
      addTrial.run(batch, body);
    },
    notes: all<NoteRow>('SELECT batch, at, body FROM trial_note ORDER BY n'),
    addNote: ({ batch, at, body }) => {
      addNote.run(batch, at, body);
    },
    profiles: all('SELECT id, body FROM balance_profile ORDER BY id'),
    checks: all<CheckRow>('SELECT profile, at, kind, body FROM balance_check ORDER BY n'),
  };
}
