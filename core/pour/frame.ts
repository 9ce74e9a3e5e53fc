import type { Lot } from '../formula/types.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';
import type { StartFacts } from './events.ts';
import type { LineState, PourState } from './state.ts';

/**
 * A line poured from two bottles, counted in grams of the one it was first poured from: a gram of the other counts as
 * many times as it is stronger. Where one bottle gave all, the count is the mass.
 */
export interface Counted {
  readonly line: LineState;
  /** What a gram of the present bottle counts. */
  readonly ratio: Decimal;
  readonly poured: Decimal;
  readonly target: Decimal;
}

const one = new Decimal(1);
const zero = new Decimal(0);

/** Every lot the batch knows of: the planned ones, then the shelf. */
export const lotsKnown = (facts: StartFacts): readonly Lot[] => [...facts.lots, ...(facts.shelf ?? [])];

/** The same by their codes. */
export const lotsByCode = (facts: StartFacts): ReadonlyMap<string, Lot> =>
  new Map(lotsKnown(facts).map((lot) => [lot.code, lot]));

/** The lot with this code. @throws RangeError when the batch knows none */
export function lotKnown(facts: StartFacts, code: string): Lot {
  const lot = lotsKnown(facts).find((other) => other.code === code);
  if (lot === undefined) throw new RangeError(`the batch knows no lot "${code}"`);
  return lot;
}

/** Mass fraction of a material in a lot. */
export const strengthIn = (lot: Lot, material: string): Decimal => decimal(lot.composition[material] ?? '0');

/** Whether all of the line came, and comes, from one bottle. */
export function fromOne(state: PourState, line: LineState): boolean {
  return state.pours.every(
    (pour) => pour.voided || pour.line !== line.step.line || pour.lot === line.step.lot,
  );
}

/** The line in grams of its first bottle. @throws RangeError when a lot it was poured from is not known */
export function counted(state: PourState, line: LineState): Counted {
  const { target, poured, step } = line;
  if (fromOne(state, line)) return { line, ratio: one, poured, target };
  const pours = state.pours.filter((pour) => !pour.voided && pour.line === step.line);
  const strength = (code: string): Decimal => strengthIn(lotKnown(state.facts, code), step.material);
  const first = strength(pours[0]?.lot ?? step.lot);
  const counts = pours.reduce(
    (sum, pour) => sum.plus(pour.net.times(pour.stays).times(strength(pour.lot)).div(first)),
    zero,
  );
  const ratio = strength(step.lot).div(first);
  return { line, ratio, poured: counts, target: counts.plus(target.minus(poured).times(ratio)) };
}

export const isMixed = ({ ratio, poured, line }: Counted): boolean => !ratio.eq(1) || !poured.eq(line.poured);
