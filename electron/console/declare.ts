import { isDecimalText } from '../../core/quantity/decimal.ts';
import type { ProductUse } from '../../core/record/declaration.ts';
import { RecordFile } from '../../core/record/record.ts';
import allergens from '../../fixtures/references/allergens.json' with { type: 'json' };
import { declarationView } from '../host/record-view.ts';
import { readJson } from './files.ts';
import type { Talk } from './talk.ts';
import { WrongInput } from './wrong-input.ts';

/**
 * Writes what a finished product made with the batch of a record file would declare, as one line of JSON: constituents
 * against the labelling threshold, supplier limits, the highest dose that keeps them. Not a safety assessment.
 * @returns 0
 * @throws WrongInput when the file is no record or the dose is no number; HostTrouble when the dose is out of range
 */
export function declare(
  file: string,
  ask: { readonly use: ProductUse; readonly dose: string },
  talk: Talk,
): number {
  const record = RecordFile.safeParse(readJson(file));
  if (!record.success)
    throw new WrongInput(
      'This is no record file of this program.',
      file,
      'Give an as-made.json, and verify it first.',
    );
  if (!isDecimalText(ask.dose))
    throw new WrongInput(
      `"${ask.dose}" is no dose.`,
      '--dose',
      'Write a decimal fraction, as in 0.15 for 15 %.',
    );
  talk.emit({
    batch: record.data.batch.name,
    use: ask.use,
    dose: ask.dose,
    ...declarationView(record.data, ask, allergens),
  });
  return 0;
}
