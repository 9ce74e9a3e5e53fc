import { Decimal, fixed, plain } from '../quantity/decimal.ts';
import { type CorrectionLimit, limitsOf } from './correction-limits.ts';
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

/** Decimals of a scale, a target or a top-up: what plain decimal text carries, with one to spare. */
const DECIMALS = 24;
/** Scales, and masses in g, closer than this are the same: the last digits of a ratio decide nothing. */
const SAME_SCALE = new Decimal('1e-21');
const SAME_MASS = new Decimal('1e-15');

const zero = new Decimal(0);
const one = new Decimal(1);

/**
 * Scales that a line already poured allows: from `from` on, but for the open gap between `rests` and `tops`, where it
 * needs a top-up smaller than can be poured.
 */
interface Edges {
  readonly from: Decimal;
  readonly rests: Decimal;
  readonly tops: Decimal;
}

/** Above zero, told without building another decimal: this runs for every line of every choice. */
const some = (mass: Decimal): boolean => mass.isPositive() && !mass.isZero();
const larger = (a: Decimal, b: Decimal): Decimal => (a.gt(b) ? a : b);
const smaller = (a: Decimal, b: Decimal): Decimal => (a.lt(b) ? a : b);

/** The least that can be added: one drop, and no less than the balance shows. */
const leastTopUp = (line: CorrectionLine, rules: CorrectionRules): Decimal => larger(line.drop, rules.d);

const bound = (line: CorrectionLine): boolean => !line.accepted && some(line.poured) && some(line.target);

/** Exact: at a/t nothing is due, from (a + least top-up)/t on the top-up can be poured. */
function exactEdges(line: CorrectionLine, rules: CorrectionRules): Edges {
  const rests = line.poured.div(line.target);
  return { from: rests, rests, tops: line.poured.plus(leastTopUp(line, rules)).div(line.target) };
}

/**
 * Least: with h(k) = max(tolerance k t, d) the upper edge k t + h(k) first reaches a mass m at
 * min(m / (t (1 + tolerance)), (m - d) / t), and the lower edge leaves it behind at
 * max(m / (t (1 - tolerance)), (m + d) / t). The proportional term decides from a mass on that depends on the rules
 * alone: d (1 + tolerance) / tolerance above, d (1 - tolerance) / tolerance below.
 */
function leastEdgesUnder(rules: CorrectionRules): (line: CorrectionLine) => Edges {
  const { tolerance, d } = rules;
  const above = one.plus(tolerance);
  const below = one.minus(tolerance);
  const upper = (m: Decimal, t: Decimal): Decimal =>
    m.times(tolerance).gte(d.times(above)) ? m.div(t.times(above)) : m.minus(d).div(t);
  const lower = (m: Decimal, t: Decimal): Decimal =>
    m.times(tolerance).gte(d.times(below)) ? m.div(t.times(below)) : m.plus(d).div(t);
  return (line) => ({
    from: upper(line.poured, line.target),
    rests: lower(line.poured, line.target),
    tops: upper(line.poured.plus(leastTopUp(line, rules)), line.target),
  });
}

/** The smallest scale from 1 on that every line allows: the gaps in order of their start, each left at its end. */
function smallestScale(edges: readonly Edges[]): Decimal {
  const up = (scale: Decimal): Decimal => scale.toDecimalPlaces(DECIMALS, Decimal.ROUND_CEIL);
  let scale = one;
  for (const edge of edges) if (edge.from.gt(scale)) scale = up(edge.from);
  const gaps = edges
    .filter((edge) => edge.tops.minus(edge.rests).gt(SAME_SCALE))
    .sort((a, b) => a.rests.comparedTo(b.rests));
  for (const gap of gaps) {
    if (gap.rests.plus(SAME_SCALE).gte(scale)) break;
    if (scale.plus(SAME_SCALE).lt(gap.tops)) scale = up(gap.tops);
  }
  return scale;
}

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
  return { low: smaller(from, high), aim: short(from.plus(high).div(2)), high };
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
 * A top-up can be poured from one drop and one step of the display on.
 * Both scales are found in closed form: each poured line forbids scales below one edge and between two others.
 * @throws RangeError for a tolerance outside 0..1, a readability not above 0, or negative masses
 */
export function corrections(lines: readonly CorrectionLine[], rules: CorrectionRules): Corrections {
  check(lines, rules);
  const before = beforeOf(lines, rules);
  const poured = lines.filter(bound);
  const least = smallestScale(poured.map(leastEdgesUnder(rules)));
  const exact = smallestScale(poured.map((line) => exactEdges(line, rules)));
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
