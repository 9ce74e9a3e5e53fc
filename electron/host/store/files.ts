import { readdirSync } from 'node:fs';

export const FILE_NAME = 'pourwright.sqlite';

/** Folder of the store of Practice, in the data folder. */
export const PRACTICE_FOLDER = 'practice';

const PRACTICE_BACKUP = '-practice.sqlite';

/** The backup of Practice that lies beside a backup of the workshop: "a.sqlite" has "a-practice.sqlite". */
export const practiceBeside = (path: string): string => `${path.replace(/\.sqlite$/i, '')}${PRACTICE_BACKUP}`;

/** Whether a file is named as the backup of Practice. */
export const isPracticeBackup = (path: string): boolean => path.toLowerCase().endsWith(PRACTICE_BACKUP);

/** What belongs to one database: the file, its write-ahead log, and the log's index. */
export const PARTS = ['', '-wal', '-shm'] as const;

/** A time for file names, UTC, that no name in `folder` carries yet: "2026-01-31T093000Z". */
export function fileStamp(folder: string): string {
  const taken = readdirSync(folder);
  const now = `${new Date().toISOString().slice(0, 19).replaceAll(':', '')}Z`;
  let stamp = now;
  for (let n = 2; taken.some((name) => name.includes(`-${stamp}.`)); n += 1) stamp = `${now}-${n}`;
  return stamp;
}
