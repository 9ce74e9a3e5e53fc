import { z } from 'zod';
import type { Step } from '../../core/formula/types.ts';
import { blendDrop, type DropSize } from '../../core/weighing/drops.ts';
import type { WorkshopStore } from './store/workshop.ts';

/** Before a drop was learnt: droppers differ by so much of the mean (dynamics of drops; common practice, no source). */
const UNKNOWN = 0.3;
const Known = z.object({ mean: z.number().positive(), u: z.number().positive() });

/** What is known of the drops of each lot from the workshop's pipettes, kept between batches. Masses in g. */
export interface DropBook {
  of(step: Pick<Step, 'lot' | 'drop'>): DropSize;
  /** What was learnt of a lot's drops; null where nothing was. */
  known(lot: string): DropSize | null;
  /** Blends what was learnt now with what was known, and keeps it. */
  learn(lot: string, learnt: DropSize): DropSize;
}

const BEGINNING = 'drop of ';

/** The drop book in the workshop's settings, read once. */
export function openDropBook(workshop: WorkshopStore): DropBook {
  const book = new Map<string, DropSize>();
  for (const { name, value } of workshop.settingsUnder(BEGINNING))
    book.set(name.slice(BEGINNING.length), Known.parse(JSON.parse(value)));
  return {
    known: (lot) => book.get(lot) ?? null,
    of: ({ lot, drop }) => book.get(lot) ?? { mean: Number(drop), u: UNKNOWN * Number(drop) },
    learn: (lot, learnt) => {
      const size = blendDrop(book.get(lot) ?? null, learnt);
      workshop.set(`${BEGINNING}${lot}`, JSON.stringify(size));
      book.set(lot, size);
      return size;
    },
  };
}

/** A book that knows nothing and forgets, for a bench without a workshop. */
export const emptyDropBook = (): DropBook => ({
  known: () => null,
  of: ({ drop }) => ({ mean: Number(drop), u: UNKNOWN * Number(drop) }),
  learn: (_, learnt) => learnt,
});
