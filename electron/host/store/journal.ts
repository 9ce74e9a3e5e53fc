import { createHash } from 'node:crypto';
import type Database from 'better-sqlite3';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { chainHash, FIRST_PREV } from '../../../core/record/chain.ts';

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** One batch as listed. `total` is known once closed. */
export interface BatchRow {
  readonly id: string;
  readonly name: string;
  readonly started: string;
  readonly status: 'open' | 'closed' | 'abandoned';
  readonly total: string | null;
}

/** Readings of one pour, as [milliseconds since the first, grams]; kept beside the capture they led to. */
export interface Trace {
  readonly start: string;
  readonly readings: readonly (readonly [number, string])[];
}

/** What is stored in the same transaction as the events. */
export interface Beside {
  /** Readings that led to the capture or revision among the events. */
  readonly trace?: Trace;
  /** Total mass in g, for the list, once the batch is closed. */
  readonly total?: string;
}

/** The append-only journal of batches. Every append is one transaction, on disk when it returns. */
export interface Journal {
  /** Stores the first events of a new batch. */
  begin(batch: { id: string; name: string; at: string }, events: readonly PourEvent[]): StoredEvent[];
  append(batch: string, at: string, events: readonly PourEvent[], beside?: Beside): StoredEvent[];
  /** Ends a batch and stores the first events of the one that follows it, both or neither. */
  succeed(
    ended: { batch: string; at: string; events: readonly PourEvent[] },
    next: { id: string; name: string; at: string; events: readonly PourEvent[] },
  ): { ended: StoredEvent[]; begun: StoredEvent[] };
  events(batch: string): StoredEvent[];
  trace(batch: string, n: number): Trace | null;
  batches(): BatchRow[];
}

interface EventRow {
  readonly batch: string;
  readonly n: number;
  readonly at: string;
  readonly body: string;
  readonly prev: string;
  readonly hash: string;
}

const stored = (row: EventRow): StoredEvent => ({
  batch: row.batch,
  n: row.n,
  at: row.at,
  event: JSON.parse(row.body) as PourEvent,
  prev: row.prev,
  hash: row.hash,
});

const statusAfter = (event: PourEvent): BatchRow['status'] | null =>
  event.type === 'closed' ? 'closed' : event.type === 'abandoned' ? 'abandoned' : null;

/** Journal on an open database. */
export function openJournal(db: Database.Database): Journal {
  const last = db.prepare<[string], { n: number; hash: string }>(
    'SELECT n, hash FROM event WHERE batch = ? ORDER BY n DESC LIMIT 1',
  );
  const insert = db.prepare(
    'INSERT INTO event (batch, n, at, type, body, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const insertTrace = db.prepare('INSERT INTO trace (batch, n, body) VALUES (?, ?, ?)');
  const insertBatch = db.prepare("INSERT INTO batch (id, name, started, status) VALUES (?, ?, ?, 'open')");
  const setStatus = db.prepare('UPDATE batch SET status = ?, total = ? WHERE id = ?');
  const ofBatch = db.prepare<[string], EventRow>(
    'SELECT batch, n, at, body, prev, hash FROM event WHERE batch = ? ORDER BY n',
  );
  const traceOf = db.prepare<[string, number], { body: string }>(
    'SELECT body FROM trace WHERE batch = ? AND n = ?',
  );
  const all = db.prepare<[], BatchRow>(
    'SELECT id, name, started, status, total FROM batch ORDER BY started DESC, id',
  );

  function write(batch: string, at: string, events: readonly PourEvent[], beside: Beside): StoredEvent[] {
    let { n, hash: prev } = last.get(batch) ?? { n: 0, hash: FIRST_PREV };
    return events.map((event) => {
      n += 1;
      const hash = chainHash(sha256, prev, { batch, n, at, event });
      insert.run(batch, n, at, event.type, JSON.stringify(event), prev, hash);
      if (beside.trace !== undefined && (event.type === 'captured' || event.type === 'revised'))
        insertTrace.run(batch, n, JSON.stringify(beside.trace));
      const status = statusAfter(event);
      if (status !== null) setStatus.run(status, beside.total ?? null, batch);
      const entry: StoredEvent = { batch, n, at, event, prev, hash };
      prev = hash;
      return entry;
    });
  }

  return {
    begin: (batch, events) =>
      db.transaction(() => {
        insertBatch.run(batch.id, batch.name, batch.at);
        return write(batch.id, batch.at, events, {});
      })(),
    succeed: (ended, next) =>
      db.transaction(() => {
        const last = write(ended.batch, ended.at, ended.events, {});
        insertBatch.run(next.id, next.name, next.at);
        return { ended: last, begun: write(next.id, next.at, next.events, {}) };
      })(),
    append: (batch, at, events, beside = {}) => db.transaction(() => write(batch, at, events, beside))(),
    events: (batch) => ofBatch.all(batch).map(stored),
    trace: (batch, n) => {
      const row = traceOf.get(batch, n);
      return row === undefined ? null : (JSON.parse(row.body) as Trace);
    },
    batches: () => all.all(),
  };
}
