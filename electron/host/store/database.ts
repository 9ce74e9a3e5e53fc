import { accessSync, constants, existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { MIGRATIONS } from './schema.ts';

/** The store cannot be used: what, where, and what to do next. */
export class StoreTrouble extends Error {
  readonly where: string;
  readonly next: string;
  constructor(what: string, where: string, next: string, cause?: unknown) {
    super(what, cause === undefined ? undefined : { cause });
    this.name = 'StoreTrouble';
    this.where = where;
    this.next = next;
  }
}

export const FILE_NAME = 'pourwright.sqlite';

const reason = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause));

function readyFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
    accessSync(folder, constants.R_OK | constants.W_OK);
  } catch (cause) {
    throw new StoreTrouble(
      `The data folder cannot be written: ${reason(cause)}.`,
      folder,
      'Give yourself the right to write there, or start with --data and another folder.',
      cause,
    );
  }
}

function migrate(db: Database.Database, file: string): void {
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > MIGRATIONS.length)
    throw new StoreTrouble(
      `This database was written by a newer Pourwright (version ${version}; this one knows ${MIGRATIONS.length}).`,
      file,
      'Use the newer program. Nothing has been changed.',
    );
  const pending = MIGRATIONS.slice(version);
  if (pending.length === 0) return;
  if (version > 0) db.prepare('VACUUM INTO ?').run(`${file}.before-${MIGRATIONS.length}.sqlite`);
  db.transaction(() => {
    for (const step of pending) db.exec(step);
    db.pragma(`user_version = ${MIGRATIONS.length}`);
  })();
}

/**
 * Opens the database in `folder`, making both where they are missing; brings an older one up to date after a backup.
 * Write-ahead log, every commit flushed to disk. One process at a time holds it.
 * @throws StoreTrouble when the folder or the file cannot be used, is newer, or is open elsewhere
 */
export function openDatabase(folder: string): Database.Database {
  readyFolder(folder);
  const file = join(folder, FILE_NAME);
  const fresh = !existsSync(file);
  let db: Database.Database;
  try {
    db = new Database(file, { timeout: 1000 });
  } catch (cause) {
    throw new StoreTrouble(
      `The database cannot be opened: ${reason(cause)}.`,
      file,
      'Check the folder and its rights.',
      cause,
    );
  }
  try {
    db.pragma('locking_mode = EXCLUSIVE');
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    migrate(db, file);
    return db;
  } catch (cause) {
    db.close();
    if (cause instanceof StoreTrouble) throw cause;
    if (/locked|busy/i.test(reason(cause)))
      throw new StoreTrouble(
        'Another Pourwright has this database open.',
        file,
        'Close the other one first, or start with --data and another folder.',
        cause,
      );
    const next = fresh
      ? 'Choose another folder with --data.'
      : 'The file is left as it is. Copy it away, then start with --data and an empty folder.';
    throw new StoreTrouble(`The database cannot be read: ${reason(cause)}.`, file, next, cause);
  }
}
