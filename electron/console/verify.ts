import { createHash } from 'node:crypto';
import { RECORD_FORMAT, RecordFile } from '../../core/record/record.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import { readJson } from './files.ts';
import { type Talk, troubleLines } from './talk.ts';
import { WrongInput } from './wrong-input.ts';

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

const isRecord = (value: unknown): value is { readonly format: string } =>
  typeof value === 'object' && value !== null && 'format' in value && value.format === RECORD_FORMAT;

/**
 * Recomputes a record file: its chain of events and every figure in it. One line of output says what was found.
 * @returns 0 when all agrees, 1 when anything differs
 * @throws WrongInput when the file cannot be read or is no record
 */
export function verify(file: string, talk: Talk): number {
  const content = readJson(file);
  if (!isRecord(content))
    throw new WrongInput(
      `This is no record file: it does not begin with the format "${RECORD_FORMAT}".`,
      file,
      'Give an as-made.json that this program wrote.',
    );
  const { ok, problems } = verifyRecord(sha256, content);
  if (ok) {
    const { batch, events, head } = RecordFile.parse(content);
    talk.emit({
      ok,
      batch: batch.id,
      name: batch.name,
      status: batch.status,
      events: events.length,
      head: head.hash,
    });
    talk.say(`The record of "${batch.name}" agrees: ${events.length} events, every figure recomputed.`);
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
