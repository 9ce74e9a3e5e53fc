import type Database from 'better-sqlite3';
import { NO_TRIAL, type Trial, type TrialNote } from '../../../core/record/trial.ts';
import { onDisk } from './trouble.ts';

export interface StoredNote extends TrialNote {
  readonly n: number;
  /** RFC 3339. */
  readonly at: string;
}

/** Trials of finished batches, and the notes written of them. */
export interface Trials {
  trial(batch: string): Trial;
  put(batch: string, trial: Trial): void;
  /** Notes of a batch, the oldest first; they are only ever added. */
  notes(batch: string): StoredNote[];
  note(batch: string, at: string, note: TrialNote): void;
  /** Batches that have a trial. */
  batches(): { readonly batch: string; readonly trial: Trial }[];
}

/** Trials on an open database. */
export function openTrials(db: Database.Database): Trials {
  const get = db.prepare<[string], { body: string }>('SELECT body FROM trial WHERE batch = ?');
  const all = db.prepare<[], { batch: string; body: string }>('SELECT batch, body FROM trial ORDER BY batch');
  const put = db.prepare(
    'INSERT INTO trial (batch, body) VALUES (?, ?) ON CONFLICT (batch) DO UPDATE SET body = excluded.body',
  );
  const notes = db.prepare<[string], { n: number; at: string; body: string }>(
    'SELECT n, at, body FROM trial_note WHERE batch = ? ORDER BY n',
  );
  const add = db.prepare('INSERT INTO trial_note (batch, at, body) VALUES (?, ?, ?)');
  return {
    trial: (batch) => {
      const row = get.get(batch);
      return row === undefined ? NO_TRIAL : (JSON.parse(row.body) as Trial);
    },
    put: (batch, trial) => {
      onDisk(db.name, () => put.run(batch, JSON.stringify(trial)));
    },
    notes: (batch) =>
      notes.all(batch).map(({ n, at, body }) => ({ n, at, ...(JSON.parse(body) as TrialNote) })),
    note: (batch, at, note) => {
      onDisk(db.name, () => add.run(batch, at, JSON.stringify(note)));
    },
    batches: () => all.all().map(({ batch, body }) => ({ batch, trial: JSON.parse(body) as Trial })),
  };
}
