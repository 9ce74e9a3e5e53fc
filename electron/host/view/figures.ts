import type { PourState } from '../../../core/pour/state.ts';
import { Decimal, decimal, decimalsOf, fixed } from '../../../core/quantity/decimal.ts';

/** Decimals that a mass is shown with: those of the balance's readability. */
export const decimalsFor = (state: PourState): number => decimalsOf(state.facts.balance.limits.d);

/** A mass as shown, with the balance's decimals. */
export const shown = (mass: Decimal, state: PourState): string => fixed(mass, decimalsFor(state));

/** A mass that is needed at least, as shown: the next figure of the display that is enough. */
export const enough = (mass: Decimal, state: PourState): string =>
  fixed(mass.toDecimalPlaces(decimalsFor(state), Decimal.ROUND_CEIL), decimalsFor(state));

/** A mass with its sign always written: "+0.40". */
export const signed = (mass: Decimal, state: PourState): string =>
  `${mass.lt(0) ? '' : '+'}${shown(mass, state)}`;

/**
 * Whole drops in a mass, or null where a drop is less than two steps of the display and no count can be trusted.
 */
export function dropsIn(mass: Decimal, drop: string, state: PourState): number | null {
  const one = decimal(drop);
  if (one.lt(decimal(state.facts.balance.limits.d).times(2))) return null;
  return Math.round(mass.div(one).toNumber());
}

export const inDrops = (count: number): string => `${count} ${count === 1 ? 'drop' : 'drops'}`;

/** A fraction as per cent with at most three figures after the point: "13.42 %". */
export function percent(fraction: Decimal, decimals = 2): string {
  return `${new Decimal(fraction).times(100).toFixed(decimals)} %`;
}
