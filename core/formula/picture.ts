import { Decimal, decimal } from '../quantity/decimal.ts';
import type { Formula, Material } from './types.ts';

/** A part of everything neat in a formula. */
export interface PicturePart {
  readonly name: string;
  /** Fraction of all that is neat; the parts of one row add up to 1. */
  readonly share: Decimal;
}

export interface Picture {
  /** Mass fraction of everything neat in the whole. */
  readonly neat: Decimal;
  /** Top, heart, base, and what has no note, in this order; empty ones left out. */
  readonly notes: readonly PicturePart[];
  /** Families, the largest first. */
  readonly families: readonly PicturePart[];
}

const ZERO = new Decimal(0);
const NOTES = ['top', 'heart', 'base', 'no note'];

/** Share of notes and families in what is neat of a formula. A material that is not described counts as neat. */
export function pictureOf(formula: Formula, materials: ReadonlyMap<string, Material>): Picture {
  const notes = new Map<string, Decimal>();
  const families = new Map<string, Decimal>();
  let neat = ZERO;
  const add = (sums: Map<string, Decimal>, key: string, value: Decimal): void => {
    sums.set(key, (sums.get(key) ?? ZERO).plus(value));
  };
  for (const line of formula.lines) {
    const material = materials.get(line.material);
    if (material?.kind === 'solvent' || line.fraction === undefined) continue;
    const fraction = decimal(line.fraction);
    neat = neat.plus(fraction);
    add(notes, material?.note ?? 'no note', fraction);
    add(families, material?.family ?? 'unsorted', fraction);
  }
  const parts = (sums: ReadonlyMap<string, Decimal>): PicturePart[] =>
    [...sums].flatMap(([name, sum]) => (sum.gt(0) ? [{ name, share: sum.div(neat) }] : []));
  return {
    neat,
    notes: parts(notes).sort((a, b) => NOTES.indexOf(a.name) - NOTES.indexOf(b.name)),
    families: parts(families).sort((a, b) => b.share.cmp(a.share) || (a.name < b.name ? -1 : 1)),
  };
}
