import { Decimal, plain } from '../quantity/decimal.ts';
import {
  type Correction,
  type CorrectionLine,
  type CorrectionRules,
  corrections,
  leastTopUp,
  roomForTopUp,
} from './correction.ts';
import { DECIMALS, type Edges, smallestScale } from './correction-scale.ts';

/** Something taken out of the vessel so that the batch need not grow. Masses in g. */
export interface Withdrawal {
  readonly from: 'unmixed' | 'stirred';
  /** How much to take out. Unmixed: anywhere between low and high. Stirred: the aim or more, then what is in is told anew. */
  readonly low: Decimal;
  readonly aim: Decimal;
  readonly high: Decimal | null;
  /** The lines as they stand once the aim is out. */
  readonly after: readonly CorrectionLine[];
  /** What is still to do then, at the targets as they were: top-ups of what was carried out along with the rest. */
  readonly rest: Correction;
  /** Price of what is taken out; null when a price is not known. */
  readonly lost: Decimal | null;
}

const zero = new Decimal(0);
const one = new Decimal(1);
const down = (mass: Decimal): Decimal => mass.toDecimalPlaces(DECIMALS, Decimal.ROUND_FLOOR);

const inVessel = (lines: readonly CorrectionLine[]): Decimal =>
  lines.reduce((sum, line) => sum.plus(line.poured), zero);

function priceOf(before: readonly CorrectionLine[], after: readonly CorrectionLine[]): Decimal | null {
  let lost = zero;
  for (const [i, line] of before.entries()) {
    const mass = line.poured.minus(after[i]?.poured ?? zero);
    if (mass.isZero()) continue;
    if (line.price === null) return null;
    lost = lost.plus(mass.times(line.price));
  }
  return lost;
}

/**
 * The lines after `mass` g were taken out. Unmixed: all of it from the one line that is in the vessel. Stirred: from
 * every line in proportion, because each part of the vessel has the composition of the whole.
 * @throws RangeError when more is taken than is in, or when unmixed is said of more than one line
 */
export function afterWithdrawal(
  lines: readonly CorrectionLine[],
  mass: Decimal,
  from: Withdrawal['from'],
): CorrectionLine[] {
  const total = inVessel(lines);
  if (mass.isNegative() || mass.gt(total))
    throw new RangeError(`${plain(mass)} g cannot be taken from the ${plain(total)} g in the vessel`);
  const poured = lines.filter((line) => line.poured.gt(0));
  if (from === 'unmixed' && poured.length > 1)
    throw new RangeError(`${poured.length} lines are in the vessel: what is taken out is a mixture`);
  if (total.isZero()) return [...lines];
  const stays = one.minus(mass.div(total));
  return lines.map((line) => ({ ...line, poured: down(line.poured.times(stays)) }));
}

/**
 * Taking the excess out of a vessel that holds its first line alone: back to the target, and anywhere within the window.
 * @returns null when another line is in, when the line is not past its window, or when the excess cannot be taken out
 * without falling below the window: one drop and one step of the display are the least
 */
export function withdrawUnmixed(lines: readonly CorrectionLine[], rules: CorrectionRules): Withdrawal | null {
  const poured = lines.filter((line) => line.poured.gt(0));
  const [line] = poured;
  if (line === undefined || poured.length > 1 || line.accepted) return null;
  const excess = line.poured.minus(line.target);
  const half = Decimal.max(line.target.times(rules.tolerance), rules.d);
  if (excess.lte(half)) return null;
  const low = Decimal.max(leastTopUp(line, rules), excess.minus(half));
  const high = Decimal.min(excess.plus(half), line.poured);
  if (low.gt(high)) return null;
  const aim = Decimal.max(low, excess);
  const after = afterWithdrawal(lines, aim, 'unmixed');
  return {
    from: 'unmixed',
    low,
    aim,
    high,
    after,
    rest: corrections(after, rules).least,
    lost: priceOf(lines, after),
  };
}

/**
 * Scales of what stays, turned over: with 1/k of the vessel left, a line holds a/k. It must come down to `top`, and then
 * either lie at `rest` or above, or be so far below `top` that a least top-up still fits.
 */
function edges(poured: Decimal, top: Decimal, rest: Decimal, least: Decimal): Edges {
  const over = (mass: Decimal): Decimal => (mass.gt(0) ? poured.div(mass) : new Decimal(Infinity));
  const exact = { from: over(top), rests: over(rest), tops: over(top.minus(least)) };
  return {
    from: exact.from.toNumber(),
    rests: exact.rests.toNumber(),
    tops: exact.tops.toNumber(),
    exactly: () => exact,
  };
}

/**
 * Taking as little as possible out of a stirred vessel so that the batch keeps its targets: what stays has the same
 * composition, and the lines that then lack something are topped up. `exact` brings every line to its target, `least`
 * into its window.
 * @returns null when nothing is past its target or window, or when a line could not be topped up within its window
 */
export function withdrawStirred(
  lines: readonly CorrectionLine[],
  rules: CorrectionRules,
  kind: 'exact' | 'least',
): Withdrawal | null {
  const bound = lines.filter((line) => !line.accepted && line.poured.gt(0));
  const scale = smallestScale(
    bound.map((line) => {
      const half = kind === 'exact' ? zero : Decimal.max(line.target.times(rules.tolerance), rules.d);
      const room = kind === 'exact' ? leastTopUp(line, rules) : roomForTopUp(line, rules);
      return edges(line.poured, line.target.plus(half), line.target.minus(half), room);
    }),
  );
  if (scale.eq(1) || !scale.isFinite()) return null;
  const total = inVessel(lines);
  const aim = total.minus(total.div(scale)).toDecimalPlaces(DECIMALS, Decimal.ROUND_CEIL);
  const after = afterWithdrawal(lines, aim, 'stirred');
  const rest = corrections(after, rules)[kind];
  return { from: 'stirred', low: aim, aim, high: null, after, rest, lost: priceOf(lines, after) };
}
