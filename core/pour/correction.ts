import { Decimal, fixed, plain } from '../quantity/decimal.ts';
import { type CorrectionLimit, limitsOf } from './correction-limits.ts';
import {
  DECIMALS,
  exactEdges,
  leastEdges,
  type PouredLine,
  SAME_MASS,
  smallestScale,
} from './correction-scale.ts';
import type { CorrectionKind, NewTarget } from './events.ts';

/** One line as a correction sees it. Masses in g, at the present scale of the batch. */
export interface CorrectionLine {
  readonly id: string;
  readonly title: string;
  /** Target before the correction, at the present scale. */
  readonly target: Decimal;
  readonly half: Decimal;
  readonly poured: Decimal;
  readonly drop: Decimal;
  readonly qs: boolean;
  readonly solvent: boolean;
  /** Kept, skipped or left under by the person: outside the correction's rules, and never topped up. */
  readonly accepted: boolean;
  /** Mass in the bottle before the batch began; null when not known. */
  readonly stock: Decimal | null;
  /** Price of one gram; null when not known. */
  readonly price: Decimal | null;
  /** The least that can be added, where that is not one drop or one step of the display. */
  readonly least?: Decimal;
  /** Lot poured from; lines of one lot draw on one stock. Absent, the line is judged alone. */
  readonly lot?: string;
}

export interface CorrectionRules {
  /** Half-width of a window as a fraction of its target: 0 and more, below 1. */
  readonly tolerance: Decimal;
  /** Readability of the balance in g, above 0: no window is narrower, no top-up smaller. */
  readonly d: Decimal;
  /** Mass that still fits into the vessel, and onto the balance; null when not known. */
  readonly vesselRoom: Decimal | null;
  readonly balanceRoom: Decimal | null;
}

export interface CorrectedLine {
  readonly id: string;
  readonly target: Decimal;
  readonly half: Decimal;
  /** Due onto what is already poured: the interval and the aim; null when nothing is. */
  readonly topUp: { readonly low: Decimal; readonly aim: Decimal; readonly high: Decimal } | null;
  /** Final mass of the line less its target before the correction. */
  readonly extra: Decimal;
  readonly poured: Decimal;
}

/** One way to go on, with all it costs. Masses in g. */
export interface Correction {
  readonly kind: CorrectionKind;
  /** Factor on the targets as they stood before. */
  readonly scale: Decimal;
  readonly lines: readonly CorrectedLine[];
  /** Final mass of the batch less the sum of its targets before. */
  readonly extra: Decimal;
  /** Mass of the batch when every line is in. */
  readonly total: Decimal;
  readonly limits: readonly CorrectionLimit[];
  /** Price of what this choice adds to what was still to be poured; null when a price is not known. */
  readonly cost: Decimal | null;
  /** Every line of the batch, accepted ones too, ends inside its window when each aim is met. */
  readonly allInside: boolean;
  /** Largest deviation of a poured line from its target, as a fraction of the target. */
  readonly worstBefore: Decimal;
  readonly worstAfter: Decimal;
}

export interface Corrections {
  readonly least: Correction;
  readonly exact: Correction;
  readonly keep: Correction;
}

const zero = new Decimal(0);
const one = new Decimal(1);
const oneHalf = new Decimal('0.5');

/** Above zero, told without building another decimal: this runs for every line of every choice. */
const some = (mass: Decimal): boolean => mass.isPositive() && !mass.isZero();
const larger = (a: Decimal, b: Decimal): Decimal => (a.gt(b) ? a : b);
const smaller = (a: Decimal, b: Decimal): Decimal => (a.lt(b) ? a : b);

/** The least that can be added: one drop, and no less than the balance shows. */
export const leastTopUp = (line: CorrectionLine, rules: CorrectionRules): Decimal =>
  line.least ?? larger(line.drop, rules.d);

/**
 * What the upper edge of a window must leave room for where the least top-up decides: that top-up, and a margin for the
 * hand, since no drop is like the other: half of it or one step of the display, and no more than half the window, with
 * which the drop lies in the middle of it.
 */
export function roomForTopUp(line: CorrectionLine, rules: CorrectionRules): Decimal {
  const least = leastTopUp(line, rules);
  const half = larger(line.target.times(rules.tolerance), rules.d);
  return least.plus(smaller(larger(least.times(oneHalf), rules.d), half));
}

const bound = (line: CorrectionLine): boolean => !line.accepted && some(line.poured) && some(line.target);

const shapeOf = (line: CorrectionLine, rules: CorrectionRules): PouredLine => ({
  target: line.target,
  poured: line.poured,
  least: leastTopUp(line, rules),
  room: roomForTopUp(line, rules),
});

const short = (mass: Decimal): Decimal => mass.toDecimalPlaces(DECIMALS);

function topUpOf(
  kind: CorrectionKind,
  line: CorrectionLine,
  after: Window,
  least: Decimal,
): CorrectedLine['topUp'] {
  if (!bound(line)) return null;
  const missing = after.target.minus(line.poured);
  const low = missing.minus(after.half);
  if (kind === 'exact') {
    if (missing.abs().lte(SAME_MASS)) return null;
    return { low: smaller(larger(least, low), missing), aim: missing, high: missing.plus(after.half) };
  }
  if (low.lte(SAME_MASS)) return null;
  const from = larger(least, low);
  const high = missing.plus(after.half);
  if (from.minus(high).gt(SAME_MASS)) return null;
  return { low: smaller(from, high), aim: short(from.plus(high).times(oneHalf)), high };
}

interface Window {
  readonly target: Decimal;
  readonly half: Decimal;
}

function windowAt(
  kind: CorrectionKind,
  line: CorrectionLine,
  scale: Decimal,
  rules: CorrectionRules,
): Window {
  if (kind === 'keep') return { target: line.target, half: line.half };
  const target = short(line.target.times(scale));
  return { target, half: short(larger(target.times(rules.tolerance), rules.d)) };
}

function finalOf(line: CorrectionLine, target: Decimal, topUp: CorrectedLine['topUp']): Decimal {
  if (topUp !== null) return line.poured.plus(topUp.aim);
  return line.accepted || some(line.poured) ? line.poured : target;
}

/** What a choice adds to a line beyond what was to be poured onto it anyway. */
function added(line: CorrectionLine, after: CorrectedLine): Decimal {
  if (after.topUp !== null) return after.topUp.aim;
  return line.accepted || some(line.poured) ? zero : after.extra;
}

function costOf(lines: readonly CorrectionLine[], after: readonly CorrectedLine[]): Decimal | null {
  let cost = zero;
  for (const [i, line] of lines.entries()) {
    const corrected = after[i];
    if (corrected === undefined) continue;
    const mass = added(line, corrected);
    if (mass.isZero()) continue;
    if (line.price === null) return null;
    cost = cost.plus(mass.times(line.price));
  }
  return cost;
}

/** The largest |mass - target| / target of several lines; lines of no mass or no target do not count. */
class Worst {
  #off = zero;
  #target = one;
  take(off: Decimal, mass: Decimal, target: Decimal): void {
    if (off.isZero() || !some(mass) || !some(target)) return;
    const size = off.abs();
    if (!size.times(this.#target).gt(this.#off.times(target))) return;
    this.#off = size;
    this.#target = target;
  }
  get share(): Decimal {
    return this.#off.div(this.#target);
  }
}

/** What is the same for every choice. */
interface Before {
  readonly lines: readonly CorrectionLine[];
  readonly rules: CorrectionRules;
  readonly targets: Decimal;
  readonly poured: Decimal;
  readonly worst: Decimal;
}

function beforeOf(lines: readonly CorrectionLine[], rules: CorrectionRules): Before {
  const worst = new Worst();
  let targets = zero;
  let poured = zero;
  for (const line of lines) {
    targets = targets.plus(line.target);
    if (!some(line.poured)) continue;
    poured = poured.plus(line.poured);
    worst.take(line.poured.minus(line.target), line.poured, line.target);
  }
  return { lines, rules, targets, poured, worst: worst.share };
}

function correction(kind: CorrectionKind, before: Before, scale: Decimal): Correction {
  const { lines, rules } = before;
  const worst = new Worst();
  const finals: Decimal[] = [];
  let total = zero;
  let allInside = true;
  const after = lines.map((line): CorrectedLine => {
    const window = windowAt(kind, line, scale, rules);
    const topUp = topUpOf(kind, line, window, leastTopUp(line, rules));
    const final = finalOf(line, window.target, topUp);
    finals.push(final);
    total = total.plus(final);
    const off = final === window.target ? zero : final.minus(window.target);
    worst.take(off, final, window.target);
    if (!off.isZero() && off.abs().gt(window.half.plus(SAME_MASS))) allInside = false;
    return { id: line.id, ...window, topUp, extra: final.minus(line.target), poured: line.poured };
  });
  return {
    kind,
    scale,
    lines: after,
    extra: total.minus(before.targets),
    total,
    limits: kind === 'keep' ? [] : limitsOf(lines, finals, total.minus(before.poured), rules),
    cost: costOf(lines, after),
    allInside,
    worstBefore: before.worst,
    worstAfter: worst.share,
  };
}

function check(lines: readonly CorrectionLine[], rules: CorrectionRules): void {
  if (rules.tolerance.lt(0) || rules.tolerance.gte(1))
    throw new RangeError(`a tolerance of ${plain(rules.tolerance)} is not between 0 and 1`);
  if (rules.d.lte(0)) throw new RangeError(`a readability of ${plain(rules.d)} g is not above 0`);
  for (const line of lines)
    if ([line.target, line.poured, line.drop].some((mass) => mass.isNegative() && !mass.isZero()))
      throw new RangeError(`line "${line.id}" has a negative target, poured mass or drop`);
}

/**
 * The corrections open to a batch, in grams.
 * Exact: the smallest scale at which no line holds more than its target and every top-up can be poured; each line
 * already poured is then topped up to its target. Least: the smallest scale at which no line is past its window and
 * every line below it has a top-up that can be poured; lines inside need nothing. Keep: nothing is scaled.
 * A top-up can be poured from one drop and one step of the display on; the least correction leaves the hand a margin
 * above it ({@link roomForTopUp}).
 * Both scales are found in closed form, not by trial: each poured line forbids scales below one edge and between two
 * others.
 * @throws RangeError for a tolerance outside 0..1, a readability not above 0, or negative masses
 */
export function corrections(lines: readonly CorrectionLine[], rules: CorrectionRules): Corrections {
  check(lines, rules);
  const before = beforeOf(lines, rules);
  const poured = lines.filter(bound);
  const least = smallestScale(poured.map((line) => leastEdges(shapeOf(line, rules), rules)));
  const exact = smallestScale(poured.map((line) => exactEdges(shapeOf(line, rules))));
  return {
    least: correction('least', before, least),
    exact: correction('exact', before, exact),
    keep: correction('keep', before, one),
  };
}

const text = (mass: Decimal): string => fixed(mass, Math.min(DECIMALS, mass.decimalPlaces()));

/** The new targets of a correction as stored: text with up to 24 decimals. */
export function newTargets(choice: Correction): NewTarget[] {
  return choice.lines.map(({ id, target, half, topUp }) => ({
    line: id,
    target: text(target),
    half: text(half),
    topUp: topUp && { low: text(topUp.low), aim: text(topUp.aim), high: text(topUp.high) },
  }));
}
