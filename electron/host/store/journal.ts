import { createHash } from 'node:crypto';
import type Database from 'better-sqlite3';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { chainHash, FIRST_PREV } from '../../../core/record/chain.ts';
import type { BatchRow } from './catalog.ts';
import { openPouredVersions } from './formula-versions.ts';
import { openSummaries } from './summaries.ts';
import { joinedTrace, keepsTrace, packTrace, type Trace, unpackTrace } from './trace-pack.ts';
import { onDisk } from './trouble.ts';

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** What is stored in the same transaction as the events. */
export interface Beside {
  /** Readings that led to the capture or revision among the events, but for those that are stored already. */
  readonly trace?: Trace;
  /** Total mass in g, for the list, once the batch is closed. */
  readonly total?: string;
}

/** The append-only journal of batches. Every append is one transaction, on disk when it returns. */
export interface Journal {
  /** Stores the first events of a new batch; all of them where it is closed already. */
  begin(
    batch: { id: string; name: string; at: string },
    events: readonly PourEvent[],
    beside?: Beside,
  ): StoredEvent[];
  append(batch: string, at: string, events: readonly PourEvent[], beside?: Beside): StoredEvent[];
  /** Ends a batch and stores the first events of the one that follows it, both or neither. */
  succeed(
    ended: { batch: string; at: string; events: readonly PourEvent[] },
    next: { id: string; name: string; at: string; events: readonly PourEvent[] },
  ): { ended: StoredEvent[]; begun: StoredEvent[] };
  events(batch: string): StoredEvent[];
  /** Readings from the beginning of a pour to this capture or revision of it; null where none were kept beside it. */
  trace(batch: string, n: number): Trace | null;
  /** Numbers of the events that have a trace. */
  traced(batch: string): number[];
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

/** Events after which a batch is summed up anew for the list. */
const SUMMED_UP: ReadonlySet<PourEvent['type']> = new Set(['started', 'closed', 'abandoned', 'amended']);

/** Journal on an open database. */
export function openJournal(db: Database.Database): Journal {
  const last = db.prepare<[string], { n: number; hash: string }>(
    'SELECT n, hash FROM event WHERE batch = ? ORDER BY n DESC LIMIT 1',
  );
  const insert = db.prepare(
    'INSERT INTO event (batch, n, at, type, body, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const insertTrace = db.prepare('INSERT INTO packed_trace (batch, n, body) VALUES (?, ?, ?)');
  const insertBatch = db.prepare("INSERT INTO batch (id, name, started, status) VALUES (?, ?, ?, 'open')");
  const setHead = db.prepare('UPDATE batch SET events = ?, head = ? WHERE id = ?');
  const setStatus = db.prepare('UPDATE batch SET status = ?, total = ? WHERE id = ?');
  const ofBatch = db.prepare<[string], EventRow>(
    'SELECT batch, n, at, body, prev, hash FROM event WHERE batch = ? ORDER BY n',
  );
  const traceOf = db.prepare<[string, number], { body: Buffer }>(
    'SELECT body FROM packed_trace WHERE batch = ? AND n = ?',
  );
  /* Traces of the first version stand as JSON. */
  const plainTraceOf = db.prepare<[string, number], { body: string }>(
    'SELECT body FROM trace WHERE batch = ? AND n = ?',
  );
  const traced = db.prepare<[string, string], { n: number }>(
    'SELECT n FROM packed_trace WHERE batch = ? UNION SELECT n FROM trace WHERE batch = ? ORDER BY n',
  );
  const ofPour = db.prepare<[string, string, number, number], { n: number }>(
    `SELECT n FROM event WHERE batch = ? AND type IN ('captured', 'revised')
       AND json_extract(body, '$.pour') = (SELECT json_extract(body, '$.pour') FROM event WHERE batch = ? AND n = ?)
       AND n <= ? ORDER BY n`,
  );
  const pieceAt = (batch: string, n: number): Trace | null => {
    const packed = traceOf.get(batch, n);
    if (packed !== undefined) return unpackTrace(packed.body);
    const row = plainTraceOf.get(batch, n);
    return row === undefined ? null : (JSON.parse(row.body) as Trace);
  };
  const summaries = openSummaries(db);
  const poured = openPouredVersions(db);
  const eventsOf = (batch: string): StoredEvent[] => ofBatch.all(batch).map(stored);
  const all = db.prepare<[], BatchRow>(
    'SELECT id, name, started, status, total FROM batch ORDER BY started DESC, id',
  );

  function write(batch: string, at: string, events: readonly PourEvent[], beside: Beside): StoredEvent[] {
    let { n, hash: prev } = last.get(batch) ?? { n: 0, hash: FIRST_PREV };
    const written = events.map((event) => {
      n += 1;
      const hash = chainHash(sha256, prev, { batch, n, at, event });
      insert.run(batch, n, at, event.type, JSON.stringify(event), prev, hash);
      if (beside.trace !== undefined && keepsTrace(event)) insertTrace.run(batch, n, packTrace(beside.trace));
      if (event.type === 'started') poured(batch, event.formula, at);
      const status = statusAfter(event);
      if (status !== null) setStatus.run(status, beside.total ?? null, batch);
      const entry: StoredEvent = { batch, n, at, event, prev, hash };
      prev = hash;
      return entry;
    });
    setHead.run(n, prev, batch);
    if (events.some(({ type }) => SUMMED_UP.has(type))) summaries.put(eventsOf(batch));
    return written;
  }

  const whole = <T>(act: () => T): T => onDisk(db.name, () => db.transaction(act)());

  return {
    begin: (batch, events, beside = {}) =>
      whole(() => {
        insertBatch.run(batch.id, batch.name, batch.at);
        return write(batch.id, batch.at, events, beside);
      }),
    succeed: (ended, next) =>
      whole(() => {
        const last = write(ended.batch, ended.at, ended.events, {});
        insertBatch.run(next.id, next.name, next.at);
        return { ended: last, begun: write(next.id, next.at, next.events, {}) };
      }),
    append: (batch, at, events, beside = {}) => whole(() => write(batch, at, events, beside)),
    events: eventsOf,
    trace: (batch, n) =>
      pieceAt(batch, n) === null
        ? null
        : joinedTrace(ofPour.all(batch, batch, n, n).flatMap((row) => pieceAt(batch, row.n) ?? [])),
    traced: (batch) => traced.all(batch, batch).map((row) => row.n),
    batches: () => all.all(),
  };
}

/** Makes the summary of every batch from its events. The caller holds the transaction. */
export function summariseAll(db: Database.Database): void {
  const ids = db.prepare<[], { id: string }>('SELECT id FROM batch ORDER BY started, id').all();
  const ofBatch = db.prepare<[string], EventRow>(
    'SELECT batch, n, at, body, prev, hash FROM event WHERE batch = ? ORDER BY n',
  );
  const summaries = openSummaries(db);
  for (const { id } of ids) {
    const events = ofBatch.all(id).map(stored);
    if (events.length > 0) summaries.put(events);
  }
}
