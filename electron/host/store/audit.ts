import Database from 'better-sqlite3';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { type Head, verifyChain } from '../../../core/record/chain.ts';
import { StoredEventSchema } from '../../../core/record/event-schema.ts';
import { checkFile } from './backup.ts';
import { sha256 } from './journal.ts';

/** One thing that is not as it was written: in which batch, at which of its events (null: the batch as a whole). */
export interface AuditProblem {
  readonly batch: string;
  readonly name: string;
  readonly event: number | null;
  readonly what: string;
}

export interface Audit {
  readonly batches: number;
  readonly events: number;
  readonly problems: readonly AuditProblem[];
}

interface BatchRow {
  readonly id: string;
  readonly name: string;
  readonly status: string;
  readonly events?: number;
  readonly head?: string | null;
}

interface EventRow {
  readonly batch: string;
  readonly n: number;
  readonly at: string;
  readonly type: string;
  readonly body: string;
  readonly prev: string;
  readonly hash: string;
}

type Found = Omit<AuditProblem, 'batch' | 'name'>;

/** The events of a batch, up to the first that cannot be read as one. */
function readEvents(rows: readonly EventRow[]): { events: StoredEvent[]; torn: Found | null } {
  const events: StoredEvent[] = [];
  for (const { batch, n, at, type, body, prev, hash } of rows) {
    const torn = (what: string): { events: StoredEvent[]; torn: Found } => ({
      events,
      torn: { event: n, what },
    });
    let event: PourEvent;
    try {
      event = JSON.parse(body) as PourEvent;
    } catch {
      return torn(`event ${n} was altered: it is not JSON any more`);
    }
    const entry: StoredEvent = { batch, n, at, event, prev, hash };
    const issue = StoredEventSchema.safeParse(entry).error?.issues[0];
    if (issue !== undefined) return torn(`event ${n} was altered: ${issue.path.join('.')} ${issue.message}`);
    if (event.type !== type)
      return torn(`event ${n} was altered: it is listed as "${type}" and says "${event.type}"`);
    events.push(entry);
  }
  return { events, torn: null };
}

const STATUS: Readonly<Record<string, string>> = { closed: 'closed', abandoned: 'abandoned' };

/** The first thing wrong with a batch; null when all is as it was written. */
function auditBatch(row: BatchRow, rows: readonly EventRow[]): Found | null {
  const { events, torn } = readEvents(rows);
  const head: Head | undefined =
    row.head === undefined || row.head === null ? undefined : { count: row.events ?? 0, hash: row.head };
  const chain = verifyChain(sha256, events, torn === null ? head : undefined);
  if (!chain.ok) return { event: chain.n, what: chain.why };
  if (torn !== null) return torn;
  if (events.length === 0) return { event: null, what: 'all its events are gone' };
  const said = events.map(({ event }) => STATUS[event.type]).find((one) => one !== undefined) ?? 'open';
  if (said !== row.status)
    return { event: null, what: `it is listed as ${row.status}; its events say ${said}` };
  return null;
}

/**
 * Checks every batch of a database file: the file itself, and each batch's chain of events against the head kept
 * beside it. For each batch that is not as it was written the first altered event is named. The file is not changed.
 * A batch taken out whole, with everything that speaks of it, leaves no trace in the file: only a backup tells.
 * @throws StoreTrouble when the file cannot be read, is damaged or newer
 */
export function audit(path: string): Audit {
  const counts = checkFile(path);
  const db = new Database(path, { readonly: true, fileMustExist: true });
  try {
    const headed = counts.version >= 2 ? ', events, head' : '';
    const batches = db.prepare<[], BatchRow>(
      `SELECT id, name, status${headed} FROM batch ORDER BY started, id`,
    );
    const ofBatch = db.prepare<[string], EventRow>('SELECT * FROM event WHERE batch = ? ORDER BY n');
    const problems: AuditProblem[] = [];
    for (const row of batches.all()) {
      const found = auditBatch(row, ofBatch.all(row.id));
      if (found !== null) problems.push({ batch: row.id, name: row.name, ...found });
    }
    return { batches: counts.batches, events: counts.events, problems };
  } finally {
    db.close();
  }
}
