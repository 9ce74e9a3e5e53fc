import type { RecordFile } from '../../../core/record/record.ts';
import { unshownIn } from './fonts.ts';
import { INK, type Paper } from './paper.ts';

/** Letters of a record that no carried font has: on paper each is written as its code point. */
export const unshownOf = (record: RecordFile): string[] => unshownIn(JSON.stringify(record));

/** Says on the paper itself that letters are written as their code points, and where they stand as they were typed. */
export function unshownNote(paper: Paper, record: RecordFile): void {
  const letters = unshownOf(record);
  if (letters.length === 0) return;
  const many = letters.length === 1 ? 'One letter is' : `${letters.length} letters are`;
  paper.paragraph(
    `${many} in no font that this program carries and stand here as code points, such as ${letters[0]}. The record file holds them as they were typed.`,
    { size: 8.5, colour: INK.bad },
  );
}
