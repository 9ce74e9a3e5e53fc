import { readCode } from '../documents/code-text.ts';
import type { Store } from '../store/store.ts';
import type { Output } from '../table.ts';

type Read = Output<'codes.read'>;

/** The lot that a code names: exactly, else the only one with these letters in either case. */
function lotOf(store: Store, text: string): string | null {
  const codes = store.workshop.read().lots.map(({ code }) => code);
  if (codes.includes(text)) return text;
  const alike = codes.filter((code) => code.toLowerCase() === text.toLowerCase());
  return alike.length === 1 ? (alike[0] ?? null) : null;
}

/**
 * What a scanned text names. The code on a label holds the code of its lot and nothing else; that on a document begins
 * with "pourwright:record:". A scanner under caps lock sends other letters: both are taken in either case.
 */
export function readScanned(store: Store, given: string): Read {
  const text = given.trim();
  const code = readCode(text) ?? readCode(text.toLowerCase());
  if (code !== null) {
    const last = store.journal.events(code.batch).at(-1);
    if (last !== undefined) return { kind: 'record', batch: code.batch, unchanged: last.hash === code.hash };
    return {
      kind: 'unknown',
      what: `The record ${code.batch} is not in this database.`,
      next: 'Open it on the machine it was made on, or restore its backup.',
    };
  }
  const lot = lotOf(store, text);
  if (lot !== null) return { kind: 'lot', code: lot };
  return {
    kind: 'unknown',
    what: `The code ${text} is of no lot and no record here.`,
    next: 'Check that the label is of this workshop, or look for it by name.',
  };
}
