import { copyFileSync, existsSync, renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { type Counts, checkFile, flushFile, flushFolder } from './backup.ts';
import { FILE_NAME, fileStamp, PARTS } from './files.ts';
import { diskTrouble, isDamage, isTaken, reasonOf, StoreTrouble } from './trouble.ts';

/** A checked copy that takes the place of the database at the next start. */
const WAITING = 'pourwright.to-restore.sqlite';

/** Where a backup waits that is to be restored; there is a file only while one does. */
export const waitingRestore = (folder: string): string => join(folder, WAITING);

/**
 * Checks a backup and lays a copy of it beside the database; the next opening puts it in the database's place.
 * @throws StoreTrouble when it is not sound, or there is no room
 */
export function prepareRestore(folder: string, from: string): Counts {
  if (resolve(from) === resolve(folder, FILE_NAME))
    throw new StoreTrouble('This is the database itself.', from, 'Choose a backup of it.');
  const counts = checkFile(from);
  const temporary = join(folder, `.${WAITING}.${process.pid}.part`);
  try {
    copyFileSync(from, temporary);
    const copied = checkFile(temporary);
    if (JSON.stringify(copied) !== JSON.stringify(counts))
      throw new StoreTrouble('The copy does not agree with the backup.', from, 'Try again.');
    flushFile(temporary);
    renameSync(temporary, waitingRestore(folder));
    flushFolder(folder);
    return counts;
  } catch (cause) {
    rmSync(temporary, { force: true });
    if (cause instanceof StoreTrouble) throw cause;
    throw (
      diskTrouble(cause, folder) ??
      new StoreTrouble(
        `The backup could not be copied: ${reasonOf(cause)}.`,
        folder,
        'Check the folder, its rights and its room. The database is untouched.',
        cause,
      )
    );
  }
}

/** Makes sure that nobody has the database open, and folds its log into it, where it is sound enough. */
function letGo(file: string): void {
  let db: Database.Database | null = null;
  try {
    db = new Database(file, { timeout: 1000 });
    db.pragma('locking_mode = EXCLUSIVE');
    db.exec('BEGIN EXCLUSIVE; COMMIT');
    db.pragma('wal_checkpoint(TRUNCATE)');
  } catch (cause) {
    if (isTaken(cause))
      throw new StoreTrouble(
        'Another Pourwright has this database open.',
        file,
        'Close it first, then restore again.',
        cause,
      );
    if (!isDamage(cause)) throw diskTrouble(cause, file) ?? cause;
  } finally {
    db?.close();
  }
}

/**
 * Puts a backup that waits in the database's place. The database that was there is set aside under a dated name.
 * @returns the name it was set aside under; null when nothing waited or no database was there
 * @throws StoreTrouble when another program has the database open
 */
export function restoreWaiting(folder: string): string | null {
  const waiting = waitingRestore(folder);
  if (!existsSync(waiting)) return null;
  const file = join(folder, FILE_NAME);
  let aside: string | null = null;
  try {
    if (existsSync(file)) {
      letGo(file);
      aside = join(folder, `pourwright.before-restore-${fileStamp(folder)}.sqlite`);
      for (const part of PARTS) if (existsSync(file + part)) renameSync(file + part, aside + part);
    }
    renameSync(waiting, file);
    flushFolder(folder);
    return aside;
  } catch (cause) {
    throw diskTrouble(cause, folder) ?? cause;
  }
}

/** What the backup that waits to be restored holds; null where none waits. @throws StoreTrouble when it is not sound */
export function waitingCounts(folder: string): Counts | null {
  const waiting = waitingRestore(folder);
  return existsSync(waiting) ? checkFile(waiting) : null;
}

/** Takes back a restore that waits. */
export function forgetRestore(folder: string): void {
  rmSync(waitingRestore(folder), { force: true });
}
