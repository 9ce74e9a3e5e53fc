import { accessSync, constants, existsSync, mkdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { backupTo } from './backup.ts';
import { FILE_NAME, fileStamp } from './files.ts';
import { summariseAll } from './journal.ts';
import { refuseAfterDamage, setAside } from './rescue.ts';
import { restoreWaiting } from './restore.ts';
import { MIGRATIONS, SUMMARIES_SINCE } from './schema.ts';
import { stateStocks } from './stock.ts';
import { diskTrouble, isDamage, isTaken, reasonOf, StoreTrouble } from './trouble.ts';

/** A sound end leaves no log: after another, or up to this size in bytes, the whole file is checked at the start. */
const CHECKED_UP_TO = 64 * 2 ** 20;

function readyFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
    accessSync(folder, constants.R_OK | constants.W_OK);
  } catch (cause) {
    throw new StoreTrouble(
      `The data folder cannot be written: ${reasonOf(cause)}.`,
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
  if (version > 0) keepBefore(db, dirname(file));
  db.transaction(() => {
    for (const step of pending) db.exec(step);
    if (version > 0 && version < SUMMARIES_SINCE) summariseAll(db);
    if (version > 0) stateStocks(db, new Date().toISOString());
    db.pragma(`user_version = ${MIGRATIONS.length}`);
  })();
}

/** A checked backup of the database as it was; never over one that is there already. */
function keepBefore(db: Database.Database, folder: string): void {
  const name = `pourwright.before-${MIGRATIONS.length}`;
  const path = join(folder, `${name}.sqlite`);
  backupTo(db, existsSync(path) ? join(folder, `${name}-${fileStamp(folder)}.sqlite`) : path);
}

const sizeOf = (path: string): number => (existsSync(path) ? statSync(path).size : 0);

/** What is not sound in the file; null when it is. */
function unsound(db: Database.Database): string | null {
  const said = String(db.pragma('quick_check(1)', { simple: true }));
  return said === 'ok' ? null : said;
}

/** A file that is no sound database at all is closed and told with its cause. */
function opened(file: string): Database.Database {
  try {
    return new Database(file, { timeout: 1000 });
  } catch (cause) {
    throw (
      diskTrouble(cause, file) ??
      new StoreTrouble(
        `The database cannot be opened: ${reasonOf(cause)}.`,
        file,
        'Check the folder and its rights.',
        cause,
      )
    );
  }
}

function prepared(db: Database.Database, file: string, check: boolean): void {
  db.pragma('locking_mode = EXCLUSIVE');
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
  const damage = check ? unsound(db) : null;
  if (damage !== null) throw new Damage(damage);
  migrate(db, file);
}

class Damage extends Error {}

/**
 * Opens the database in `folder`, making both where they are missing; brings an older one up to date after a backup.
 * Write-ahead log, every commit flushed to disk. One process at a time holds it. A backup that waits to be restored is
 * put in place first. The file is checked when it is small or was not closed soundly; a damaged one is set aside under
 * a dated name with what could be read of it beside it, and nothing empty takes its place.
 * @throws StoreTrouble when the folder or the file cannot be used, is damaged, newer, or open elsewhere
 */
export function openDatabase(folder: string): Database.Database {
  readyFolder(folder);
  restoreWaiting(folder);
  refuseAfterDamage(folder);
  const file = join(folder, FILE_NAME);
  const size = sizeOf(file);
  const check = size > 0 && (size <= CHECKED_UP_TO || sizeOf(`${file}-wal`) > 0);
  const db = opened(file);
  try {
    prepared(db, file, check);
    return db;
  } catch (cause) {
    db.close();
    if (cause instanceof StoreTrouble) throw cause;
    if (cause instanceof Damage || isDamage(cause)) throw setAside(folder, reasonOf(cause), cause);
    if (isTaken(cause))
      throw new StoreTrouble(
        'Another Pourwright has this database open.',
        file,
        'Close the other one first, or start with --data and another folder.',
        cause,
      );
    throw (
      diskTrouble(cause, file) ??
      new StoreTrouble(
        `The database cannot be read: ${reasonOf(cause)}.`,
        file,
        'The file is left as it is. Copy it away, then start with --data and an empty folder.',
        cause,
      )
    );
  }
}
