import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { MIGRATIONS } from './schema.ts';
import { diskTrouble, isDamage, isTaken, reasonOf, StoreTrouble } from './trouble.ts';

/** What a database holds, by which a copy is compared with it. */
export interface Counts {
  readonly version: number;
  readonly batches: number;
  readonly events: number;
  readonly traces: number;
  readonly materials: number;
  readonly lots: number;
  readonly formulas: number;
  readonly learners: number;
  readonly attempts: number;
}

/** Counts the rows of an open database. */
export function countsOf(db: Database.Database): Counts {
  const version = Number(db.pragma('user_version', { simple: true }));
  const rows = (table: string): number =>
    db.prepare<[], { n: number }>(`SELECT count(*) AS n FROM ${table}`).get()?.n ?? 0;
  return {
    version,
    batches: rows('batch'),
    events: rows('event'),
    traces: rows('trace') + (version >= 2 ? rows('packed_trace') : 0),
    materials: rows('material'),
    lots: rows('lot'),
    formulas: rows('formula'),
    learners: version >= 3 ? rows('learner') : 0,
    attempts: version >= 3 ? rows('attempt') : 0,
  };
}

/** Waits until the name of a new file is on disk; a file system that cannot do so for folders is taken as it is. */
export function flushFolder(folder: string): void {
  if (process.platform === 'win32') return;
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

export function flushFile(path: string): void {
  const handle = openSync(path, 'r+');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

function checked(db: Database.Database, path: string): Counts {
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > MIGRATIONS.length)
    throw new StoreTrouble(
      `This database was written by a newer Pourwright (version ${version}; this one knows ${MIGRATIONS.length}).`,
      path,
      'Use the newer program. Nothing has been changed.',
    );
  if (version < 1)
    throw new StoreTrouble('This is no database of Pourwright.', path, 'Choose a backup that it wrote.');
  const said = String(db.pragma('integrity_check(1)', { simple: true }));
  if (said !== 'ok')
    throw new StoreTrouble(`This database is damaged: ${said}.`, path, 'Choose another backup.');
  const loose = db.pragma('foreign_key_check');
  if (Array.isArray(loose) && loose.length > 0)
    throw new StoreTrouble(
      `This database is damaged: ${loose.length} rows belong to nothing.`,
      path,
      'Choose another backup.',
    );
  return countsOf(db);
}

/**
 * Reads a database file whole and checks it: SQLite's integrity check, rows that belong together, and a version this
 * program knows. The file is not changed.
 * @throws StoreTrouble when it is not there, damaged, newer, or none of this program's
 */
export function checkFile(path: string): Counts {
  if (!existsSync(path))
    throw new StoreTrouble('There is no such file.', path, 'Check its name and the folder you are in.');
  let db: Database.Database | null = null;
  try {
    db = new Database(path, { readonly: true, fileMustExist: true, timeout: 1000 });
    return checked(db, path);
  } catch (cause) {
    if (cause instanceof StoreTrouble) throw cause;
    if (isDamage(cause))
      throw new StoreTrouble(
        `This is no sound database: ${reasonOf(cause)}.`,
        path,
        'Choose another backup.',
        cause,
      );
    if (isTaken(cause))
      throw new StoreTrouble(
        'Another Pourwright has this database open.',
        path,
        'Close it first, then try again.',
        cause,
      );
    throw diskTrouble(cause, path) ?? cause;
  } finally {
    db?.close();
  }
}

const same = (a: Counts, b: Counts): boolean => JSON.stringify(a) === JSON.stringify(b);

/**
 * Writes a copy of an open database to `path`, whole or not at all: to a name beside it first, read back and checked
 * against the original, flushed, then renamed.
 * @throws StoreTrouble when it cannot be written or does not agree
 */
export function backupTo(db: Database.Database, path: string): Counts {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    if (existsSync(temporary)) rmSync(temporary);
    const counts = countsOf(db);
    db.prepare('VACUUM INTO ?').run(temporary);
    if (!same(counts, checkFile(temporary)))
      throw new StoreTrouble(
        'The backup does not hold what the database holds; it was thrown away.',
        path,
        'Try again on another disk.',
      );
    flushFile(temporary);
    renameSync(temporary, path);
    flushFolder(dirname(path));
    return counts;
  } catch (cause) {
    if (existsSync(temporary)) rmSync(temporary);
    if (cause instanceof StoreTrouble) throw cause;
    throw new StoreTrouble(
      `The backup could not be written: ${diskTrouble(cause, path)?.message ?? reasonOf(cause)}`,
      path,
      'Choose another place, or free some room there. The database itself is untouched.',
      cause,
    );
  }
}
