import { copyFileSync, existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { type Counts, checkFile, flushFile, flushFolder } from './backup.ts';
import { FILE_NAME, fileStamp, isPracticeBackup, PARTS, PRACTICE_FOLDER, practiceBeside } from './files.ts';
import { diskTrouble, isDamage, isTaken, reasonOf, StoreTrouble } from './trouble.ts';

/** Checked copies that take the place of the database, and of that of Practice, at the next start. */
const WAITING = 'pourwright.to-restore.sqlite';
const PRACTICE_WAITING = 'pourwright.practice-to-restore.sqlite';

/** Where a backup waits that is to be restored; there is a file only while one does. */
export const waitingRestore = (folder: string): string => join(folder, WAITING);

/** What a restore puts in place: the workshop, and Practice where a backup of it lies beside the other. */
export interface Restorable {
  readonly counts: Counts;
  readonly practice: Counts | null;
}

/** Lays a checked copy of a backup into the data folder, whole or not at all. */
function lay(folder: string, name: string, from: string, counts: Counts): void {
  const temporary = join(folder, `.${name}.${process.pid}.part`);
  try {
    copyFileSync(from, temporary);
    const copied = checkFile(temporary);
    if (JSON.stringify(copied) !== JSON.stringify(counts))
      throw new StoreTrouble('The copy does not agree with the backup.', from, 'Try again.');
    flushFile(temporary);
    renameSync(temporary, join(folder, name));
    flushFolder(folder);
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

/**
 * Checks a backup, and that of Practice where it lies beside it, and lays copies beside the database; the next opening
 * puts them in place.
 * @throws StoreTrouble when either is not sound, or there is no room: then nothing waits
 */
export function prepareRestore(folder: string, from: string): Restorable {
  if (resolve(from) === resolve(folder, FILE_NAME))
    throw new StoreTrouble('This is the database itself.', from, 'Choose a backup of it.');
  if (isPracticeBackup(from))
    throw new StoreTrouble(
      'This is the backup of Practice.',
      from,
      'Name the file beside it, without "-practice": Practice comes back with it.',
    );
  const counts = checkFile(from);
  const beside = practiceBeside(from);
  const practice = existsSync(beside) ? checkFile(beside) : null;
  forgetRestore(folder);
  if (practice !== null) lay(folder, PRACTICE_WAITING, beside, practice);
  try {
    lay(folder, WAITING, from, counts);
  } catch (cause) {
    forgetRestore(folder);
    throw cause;
  }
  return { counts, practice };
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

/** Puts what waits in the place of a folder's database. @returns what that is set aside as; null when none was there */
function putInPlace(waiting: string, folder: string): string | null {
  const file = join(folder, FILE_NAME);
  let aside: string | null = null;
  if (existsSync(file)) {
    letGo(file);
    aside = join(folder, `pourwright.before-restore-${fileStamp(folder)}.sqlite`);
    for (const part of PARTS) if (existsSync(file + part)) renameSync(file + part, aside + part);
  }
  renameSync(waiting, file);
  flushFolder(folder);
  return aside;
}

/**
 * Puts backups that wait in the place of the database and of that of Practice. What was there is set aside under a
 * dated name.
 * @returns the name the database was set aside under; null when nothing waited or no database was there
 * @throws StoreTrouble when another program has the database open
 */
export function restoreWaiting(folder: string): string | null {
  const waiting = waitingRestore(folder);
  const practice = join(folder, PRACTICE_WAITING);
  try {
    const aside = existsSync(waiting) ? putInPlace(waiting, folder) : null;
    if (existsSync(practice)) {
      const place = join(folder, PRACTICE_FOLDER);
      mkdirSync(place, { recursive: true });
      putInPlace(practice, place);
      flushFolder(folder);
    }
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
  for (const name of [WAITING, PRACTICE_WAITING]) rmSync(join(folder, name), { force: true });
}
