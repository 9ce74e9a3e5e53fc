import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { RECORD_FORMAT } from '../../core/record/record.ts';
import { checkFolder, checkRecord, type FileVerdict, isRecord } from '../host/documents/check.ts';
import { audit } from '../host/store/audit.ts';
import { FILE_NAME } from '../host/store/files.ts';
import { readJson, readText } from './files.ts';
import { type Talk, troubleLines } from './talk.ts';
import { WrongInput } from './wrong-input.ts';

/** An archive begins with these letters. */
const isArchive = (file: string): boolean => readText(file).startsWith('PK');

function checked(file: string): FileVerdict {
  if (isArchive(file)) return checkFolder(readFileSync(file));
  const content = readJson(file);
  if (!isRecord(content))
    throw new WrongInput(
      `This is no record file: it does not begin with the format "${RECORD_FORMAT}".`,
      file,
      'Give an as-made.json or a batch folder that this program wrote.',
    );
  return checkRecord(content);
}

/**
 * Recomputes a record file, or a batch folder with every file in it: the chain of events, every figure, hashes and
 * signature. One line of output says what was found.
 * @returns 0 when all agrees, 1 when anything differs
 * @throws WrongInput when the file cannot be read or is no record
 */
export function verify(file: string, talk: Talk): number {
  const { ok, problems, record } = checked(file);
  if (ok && record !== null) {
    const { batch, events, head, signature } = record;
    const key = signature?.publicKey;
    talk.emit({
      ok,
      batch: batch.id,
      name: batch.name,
      status: batch.status,
      events: events.length,
      head: head.hash,
      ...(key === undefined ? {} : { signed_by: key }),
    });
    const by = key === undefined ? '' : ` Signed by the key ${key}.`;
    talk.say(`The record of "${batch.name}" agrees: ${events.length} events, every figure recomputed.${by}`);
    return 0;
  }
  talk.emit({ ok, problems });
  for (const { where, what } of problems)
    talk.say(
      troubleLines({
        what,
        where: `${file}: ${where}`,
        next: 'Do not rely on this file; export the record again from its database.',
      }),
    );
  return 1;
}

/**
 * Checks every batch of the database in a folder. One line of output for each batch that is not as it was written,
 * with its first altered event, and one for the whole.
 * @returns 0 when all agrees, 1 when anything differs
 * @throws StoreTrouble when the database cannot be read, is damaged, newer, or open elsewhere
 */
export function verifyDatabase(folder: string, talk: Talk): number {
  const file = join(folder, FILE_NAME);
  const { batches, events, problems } = audit(file);
  for (const { batch, name, event, what } of problems) {
    talk.emit({ ok: false, batch, name, event, what });
    talk.say(
      troubleLines({
        what: `"${name}": ${what}`,
        where: `${file}: batch ${batch}`,
        next: 'Compare it with a backup from before, and with what was exported.',
      }),
    );
  }
  talk.emit({ ok: problems.length === 0, batches, events, altered: problems.length });
  talk.say(
    problems.length === 0
      ? `All ${batches} batches are as they were written: ${events} events.`
      : `${problems.length} of ${batches} batches are not as they were written.`,
  );
  return problems.length === 0 ? 0 : 1;
}
