import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { amended } from '../../core/record/amend.ts';
import { documentOf } from '../host/documents/document.ts';
import { writeWhole } from '../host/documents/export.ts';
import { signingKey } from '../host/documents/signature.ts';
import { recallOf } from '../host/recall.ts';
import { recordOf } from '../host/record-view.ts';
import { statusOf } from '../host/records.ts';
import { FILE_NAME, PRACTICE_FOLDER, practiceBeside } from '../host/store/files.ts';
import { prepareRestore, restoreWaiting } from '../host/store/restore.ts';
import { openStore, type Store } from '../host/store/store.ts';
import { StoreTrouble } from '../host/store/trouble.ts';
import type { AmendFlags, DocumentFlags, FindFlags } from './records-commands.ts';
import type { Talk } from './talk.ts';

/** Does something with a database that is there, and closes it. @throws StoreTrouble when there is none */
export async function withStore<T>(folder: string, act: (store: Store) => T | Promise<T>): Promise<T> {
  if (!existsSync(folder))
    throw new StoreTrouble('There is no such folder.', folder, 'Check its name and the folder you are in.');
  const had = existsSync(join(folder, FILE_NAME));
  if (!had)
    throw new StoreTrouble('There is no database in this folder.', folder, 'Name the folder it lies in.');
  const store = openStore(folder);
  try {
    return await act(store);
  } finally {
    store.close();
  }
}

/** Lists batches. @returns 0 */
export function find(words: string, flags: FindFlags, talk: Talk): Promise<number> {
  const { database, limit, from, to, worst, name, lot, material, operator, deviation } = flags;
  return withStore(database, ({ catalog }) => {
    const { rows, more } = catalog.find({
      words,
      in: { name, lot, material, operator, deviation },
      from,
      to,
      worst,
      limit,
    });
    for (const { id, no: _, status: _s, ...row } of rows)
      talk.emit({ batch: id, status: statusOf({ id, status: _s, ...row }), ...row });
    talk.say(
      more ? `The latest ${rows.length}; there are more: narrow the search.` : `${rows.length} found.`,
    );
    return 0;
  });
}

/** Writes every batch that holds a lot. @returns 0, or 1 when batches cannot be read */
export function recall(lot: string, database: string, talk: Talk): Promise<number> {
  return withStore(database, (store) => {
    const { rows, unread } = recallOf(store, lot);
    for (const row of rows) talk.emit(row);
    talk.say(`${rows.length} batches hold ${lot}.`);
    for (const { id, name } of unread)
      talk.say(`What is in "${name}" (${id}) cannot be read: look at it by hand.`);
    return unread.length === 0 ? 0 : 1;
  });
}

/** Amends a record. @returns 0 */
export function amend({ database, batch, ...amendment }: AmendFlags, talk: Talk): Promise<number> {
  return withStore(database, ({ journal }) => {
    const { events, batch: facts } = recordOf(journal, batch);
    const [stored] = journal.append(batch, new Date().toISOString(), [amended(events, amendment)]);
    talk.emit({ batch, event: stored?.n ?? null, head: stored?.hash ?? null });
    talk.say(`The record of "${facts.name}" was amended; documents made before do not show it.`);
    return 0;
  });
}

/** Writes a document. @returns 0 */
export function document(flags: DocumentFlags, talk: Talk): Promise<number> {
  const { database, batch, kind, decimal, sign, out } = flags;
  return withStore(database, async ({ journal, folder }) => {
    const plain = recordOf(journal, batch);
    const record = sign === true ? signingKey(folder).sign(plain) : plain;
    const { bytes, type } = await documentOf(record, journal, kind, decimal);
    writeWhole(out, bytes);
    talk.emit({ file: out, type, bytes: bytes.length, head: record.head.hash });
    return 0;
  });
}

/** Writes a backup, and that of Practice beside it where anybody has practised. @returns 0 */
export function backup(database: string, to: string, talk: Talk): Promise<number> {
  return withStore(database, async (store) => {
    const counts = store.backup(to);
    talk.emit({ file: to, ...counts });
    talk.say(`${counts.batches} batches with ${counts.events} events are in ${to}, read back and compared.`);
    const practice = join(database, PRACTICE_FOLDER);
    if (!existsSync(join(practice, FILE_NAME))) return 0;
    const beside = practiceBeside(to);
    const { learners, attempts } = await withStore(practice, (learning) => learning.backup(beside));
    talk.say(`Practice is in ${beside} beside it. Learners: ${learners}. Lessons done: ${attempts}.`);
    return 0;
  });
}

/**
 * Restores a backup at once. @returns 0
 * @throws StoreTrouble when it is not sound, or the database is open elsewhere
 */
export async function restore(database: string, from: string, talk: Talk): Promise<number> {
  const { counts, practice } = prepareRestore(database, from);
  const aside = restoreWaiting(database);
  openStore(database).close();
  talk.emit({ database, from, set_aside: aside, ...counts });
  const kept = aside === null ? '' : ` What was there before is kept as ${aside}.`;
  const learnt = practice === null ? '' : ` Practice is back with it. Lessons done: ${practice.attempts}.`;
  talk.say(`${counts.batches} batches with ${counts.events} events are back.${learnt}${kept}`);
  return 0;
}
