import type { BalanceLimits } from '../formula/types.ts';
import { Decimal, decimal, decimalsOf, fixed } from '../quantity/decimal.ts';
import type { Poured } from './pours.ts';
import { COVERAGE } from './propagation.ts';
import { readingVariance } from './uncertainty.ts';

/** How the vessel at closing agrees with what was poured into it. Masses in g. */
export interface Closure {
  /** Final gross less vessel less the sum of the nets and what was withdrawn of them. */
  readonly closure: Decimal;
  /** What the readings alone explain: their expanded uncertainty, k = 2, and one step of the display at least. */
  readonly limit: Decimal;
  readonly verdict: 'within' | 'lost' | 'gained';
  /** What it means, with the evaporation that would explain a loss. */
  readonly text: string;
}

/**
 * Readings that do not cancel in the closure, each counted once: the last one of a run and the first of the next, and
 * the closing reading against the last pour. In a run of shared readings only its two ends remain.
 */
function openReadings(poured: Poured): number {
  const { pours, withdrawals } = poured;
  const drawnAfter = (pour: number) => withdrawals.filter((one) => one.pour === pour);
  const nets = pours.flatMap((pour) => [...(pour.voided ? [] : [pour]), ...drawnAfter(pour.pour)]);
  const from = [poured.vessel, ...nets.map((net) => net.after)];
  const gaps = nets.filter((net, i) => from[i]?.eq(net.before) !== true).length;
  return 2 * (gaps + 1);
}

const MINUTE = 60_000;

/** Minutes that the batch stood open, from the first capture to the end; null when either is missing. */
function minutesOpen({ opened, ended }: Poured): number | null {
  return opened === null || ended === null ? null : (Date.parse(ended) - Date.parse(opened)) / MINUTE;
}

function lossText(loss: string, minutes: number | null, mass: Decimal): string {
  if (minutes === null || minutes < 1)
    return `${loss} g less than was poured: it evaporated, or something left the vessel.`;
  const rate = mass.div(minutes).times(60).toSignificantDigits(2).toFixed();
  return `${loss} g less than was poured, in ${Math.round(minutes)} min open (${rate} g an hour): it evaporated, or something left the vessel.`;
}

/** The closure of a closed batch, and what it tells; null while it is not closed. */
export function closureOf(poured: Poured, limits: BalanceLimits): Closure | null {
  const { closure } = poured;
  if (closure === null) return null;
  const d = decimal(limits.d);
  const u = new Decimal(Math.sqrt(readingVariance(limits) * openReadings(poured)));
  const limit = Decimal.max(u.times(COVERAGE), d);
  const shown = (mass: Decimal): string => fixed(mass.abs(), decimalsOf(limits.d));
  if (closure.abs().lte(limit))
    return {
      closure,
      limit,
      verdict: 'within',
      text: 'What was poured is in the vessel, as far as the balance tells.',
    };
  if (closure.gt(0))
    return {
      closure,
      limit,
      verdict: 'gained',
      text: `${shown(closure)} g more than was poured: something came in that no pour recorded.`,
    };
  return {
    closure,
    limit,
    verdict: 'lost',
    text: lossText(shown(closure), minutesOpen(poured), closure.abs()),
  };
}
