import { z } from 'zod';
import type { Lot, Step } from '../../core/formula/types.ts';
import { blendDrop, type DropSize } from '../../core/weighing/drops.ts';
import type { WorkshopStore } from './store/workshop.ts';

/** Before a drop was learnt: droppers differ by so much of the mean (dynamics of drops; common practice, no source). */
const UNKNOWN = 0.3;
const Known = z.object({ mean: z.number().positive(), u: z.number().positive() });

/** The pipette of a workshop that has named none. */
export const COMMON_PIPETTE = '3 mL pipette';

/** What is known of the drops of each liquid from each pipette, kept between batches. Masses in g. */
export interface DropBook {
  /** The pipette in use on this bench. */
  readonly pipette: string;
  /** Every pipette that was named, the one in use first. */
  pipettes(): readonly string[];
  /** Another pipette is in use from now on. */
  use(pipette: string): void;
  /** A drop of a step's lot from the pipette in use: as learnt, else as the plan has it. */
  of(step: Pick<Step, 'lot' | 'drop'>, lots: readonly Lot[]): DropSize;
  /** What was learnt of a lot's liquid from the pipette in use; null where nothing was. */
  known(lot: Lot): DropSize | null;
  /** Blends what was learnt now with what was known, and keeps it. */
  learn(lot: Lot, learnt: DropSize): DropSize;
}

/** Lots whose parts agree within about this share are one liquid: their drops do. */
const ALIKE = 20;

/** A liquid by what it is of: every lot of it drops alike from the same pipette. */
function liquidOf({ composition }: Lot): string {
  const parts = Object.entries(composition).map(([key, part]) => ({
    key,
    share: Math.round(Number(part) * ALIKE) / ALIKE,
  }));
  return parts
    .filter(({ share }) => share > 0)
    .map(({ key, share }) => `${key} ${share}`)
    .sort()
    .join(', ');
}

const asPlanned = ({ drop }: Pick<Step, 'drop'>): DropSize => ({
  mean: Number(drop),
  u: UNKNOWN * Number(drop),
});

const LEARNT = 'drop from ';
/** As it was kept when pipettes had no names: by the code of the lot. */
const UNNAMED = 'drop of ';
const IN_USE = 'pipette of bench ';

const learntName = (pipette: string, liquid: string): string =>
  `${LEARNT}${JSON.stringify([pipette, liquid])}`;
const Learnt = z.tuple([z.string(), z.string()]);

/** The drops of a workshop, read once from its settings. @returns the book as each bench has it open */
export function openDropBooks(workshop: WorkshopStore): (bench: string) => DropBook {
  const book = new Map<string, DropSize>();
  for (const beginning of [LEARNT, UNNAMED])
    for (const { name, value } of workshop.settingsUnder(beginning))
      book.set(name, Known.parse(JSON.parse(value)));
  return (bench) => bookOf(bench, book, workshop);
}

/** The drop book of the first bench. */
export const openDropBook = (workshop: WorkshopStore): DropBook => openDropBooks(workshop)('1');

function bookOf(bench: string, book: Map<string, DropSize>, workshop: WorkshopStore): DropBook {
  let pipette = workshop.setting(`${IN_USE}${bench}`) ?? COMMON_PIPETTE;
  const learntFrom = (): string[] =>
    [...book.keys()]
      .filter((name) => name.startsWith(LEARNT))
      .map((name) => Learnt.parse(JSON.parse(name.slice(LEARNT.length)))[0]);
  const pipettes = (): string[] => [...new Set([pipette, COMMON_PIPETTE, ...learntFrom()])];
  const known = (lot: Lot): DropSize | null =>
    book.get(learntName(pipette, liquidOf(lot))) ??
    (pipette === COMMON_PIPETTE ? book.get(`${UNNAMED}${lot.code}`) : undefined) ??
    null;
  return {
    get pipette() {
      return pipette;
    },
    pipettes,
    use: (named) => {
      const same = pipettes().find((one) => one.toLowerCase() === named.toLowerCase());
      pipette = same ?? named;
      workshop.set(`${IN_USE}${bench}`, pipette);
    },
    known,
    of: (step, lots) => {
      const lot = lots.find((one) => one.code === step.lot);
      return (lot === undefined ? null : known(lot)) ?? asPlanned(step);
    },
    learn: (lot, learnt) => {
      const size = blendDrop(known(lot), learnt);
      const name = learntName(pipette, liquidOf(lot));
      workshop.set(name, JSON.stringify(size));
      book.set(name, size);
      return size;
    },
  };
}

/** A book that knows nothing and forgets, for a bench without a workshop. */
export function emptyDropBook(): DropBook {
  let pipette = COMMON_PIPETTE;
  return {
    get pipette() {
      return pipette;
    },
    pipettes: () => [...new Set([pipette, COMMON_PIPETTE])],
    use: (named) => {
      pipette = named;
    },
    known: () => null,
    of: asPlanned,
    learn: (_, learnt) => learnt,
  };
}
