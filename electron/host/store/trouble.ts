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

export const reasonOf = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause));

const codeOf = (cause: unknown): string =>
  cause instanceof Error && 'code' in cause ? String(cause.code) : '';

/** Whether SQLite says that what it read cannot be a sound database. */
export const isDamage = (cause: unknown): boolean => /^SQLITE_(CORRUPT|NOTADB)/.test(codeOf(cause));

export const isTaken = (cause: unknown): boolean => /^SQLITE_(BUSY|LOCKED)/.test(codeOf(cause));

/** What SQLite says about a disk, as words; null when it says something else. */
export function diskTrouble(cause: unknown, file: string): StoreTrouble | null {
  const code = codeOf(cause);
  const said = (what: string, next: string): StoreTrouble => new StoreTrouble(what, file, next, cause);
  if (code === 'SQLITE_FULL' || code === 'ENOSPC')
    return said(
      'The disk is full: this was not stored.',
      'Free some room on it and try again. Everything stored before is still there.',
    );
  if (code.startsWith('SQLITE_READONLY') || code === 'EROFS' || code === 'EACCES' || code === 'EPERM')
    return said(
      'The database cannot be written: its file or its folder is read-only.',
      'Give yourself the right to write there, or start with --data and another folder.',
    );
  if (code.startsWith('SQLITE_CANTOPEN'))
    return said(
      `The database cannot be opened: ${reasonOf(cause)}.`,
      'Check the folder, its rights, and the room on its disk.',
    );
  if (code.startsWith('SQLITE_IOERR'))
    return said(
      `The disk did not do what was asked: ${reasonOf(cause)}.`,
      'Check its cable and its room. Make a backup on another disk before you go on.',
    );
  return null;
}

/** What a database under use says of itself: closed, damaged, held by another program; null when it is none of these. */
function storeTrouble(cause: unknown, file: string): StoreTrouble | null {
  const said = (what: string, next: string): StoreTrouble => new StoreTrouble(what, file, next, cause);
  if (isTaken(cause))
    return said(
      'Another program holds the database: this was not stored.',
      'End that program, then try again.',
    );
  if (isDamage(cause))
    return said(
      'The database is damaged: this was not stored.',
      'Start the program again: it sets it right.',
    );
  if (cause instanceof TypeError && /connection is not open/.test(cause.message))
    return said('The database is closed: this was not stored.', 'Start the program again.');
  return null;
}

/** Does something with the database of `file`; what disk or database refuse is said in words. @throws StoreTrouble */
export function onDisk<T>(file: string, act: () => T): T {
  try {
    return act();
  } catch (cause) {
    throw diskTrouble(cause, file) ?? storeTrouble(cause, file) ?? cause;
  }
}
