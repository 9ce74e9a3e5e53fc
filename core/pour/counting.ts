import type { Lot } from '../formula/types.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';
import type { CorrectedLine, Correction, CorrectionLine, CorrectionRules } from './correction.ts';
import { type Counted, counted, isMixed, lotsByCode } from './frame.ts';
import type { LineState, PourState } from './state.ts';

/** Decimals that a mass keeps when it is turned from one bottle into another. */
const DECIMALS = 20;
const zero = new Decimal(0);

/** Ended by the person outside its window: no correction touches it. */
export const isAccepted = ({ end }: LineState): boolean =>
  end === 'kept' || end === 'under' || end === 'skipped';

/** The batch as a correction sees it: every line in grams of its first bottle. */
export interface Counting {
  readonly lines: readonly CorrectionLine[];
  readonly counts: readonly Counted[];
  /** The q.s. line, when it can take up the solvent that another bottle brings or saves. */
  readonly qs: string | null;
}

/** What each bottle gave that is no longer in the vessel, by lot. */
function lostFrom(state: PourState): Map<string, Decimal> {
  const lost = new Map<string, Decimal>();
  for (const { lot, net, stays, voided } of state.pours)
    if (!voided && !stays.eq(1)) lost.set(lot, (lost.get(lot) ?? zero).plus(net.minus(net.times(stays))));
  return lost;
}

/** What the bottle held as far as it bears on this batch, in grams of the line's first bottle; null when not known. */
function stockOf(
  state: PourState,
  count: Counted,
  lot: Lot | undefined,
  lost: ReadonlyMap<string, Decimal>,
): Decimal | null {
  const { ratio, poured } = count;
  if (lot?.stock === undefined) return null;
  const held = decimal(lot.stock).minus(lost.get(lot.code) ?? zero);
  if (!isMixed(count)) return held;
  const given = state.pours.reduce(
    (sum, pour) => (pour.voided || pour.lot !== lot.code ? sum : sum.plus(pour.net.times(pour.stays))),
    zero,
  );
  return poured.plus(held.minus(given).times(ratio));
}

function correctionLine(
  state: PourState,
  count: Counted,
  lot: Lot | undefined,
  lost: ReadonlyMap<string, Decimal>,
): CorrectionLine {
  const { line, ratio, poured, target } = count;
  const { step } = line;
  const drop = decimal(step.drop);
  const mixed = isMixed(count);
  const least = Decimal.max(drop, decimal(state.facts.balance.limits.d)).times(ratio);
  return {
    id: step.line,
    title: step.title,
    target,
    half: line.half.times(ratio),
    poured,
    drop,
    qs: step.qs,
    solvent: step.kind === 'solvent',
    accepted: isAccepted(line),
    stock: stockOf(state, count, lot, lost),
    price: lot?.price === undefined ? null : decimal(lot.price).div(ratio),
    ...(mixed ? { least } : { lot: step.lot }),
  };
}

/** Solvent that lines poured from two bottles brought beyond their count, taken into the q.s. line. */
function withShift(
  lines: readonly CorrectionLine[],
  counts: readonly Counted[],
  qs: string,
): CorrectionLine[] {
  const sum = (of: (count: Counted) => Decimal): Decimal =>
    counts.reduce((total, count) => total.plus(of(count)), zero);
  const target = sum((count) => count.line.target.minus(count.target));
  const poured = sum((count) => count.line.poured.minus(count.poured));
  return lines.map((line) =>
    line.id !== qs
      ? line
      : {
          ...line,
          target: line.target.plus(target),
          poured: line.poured.isZero() ? zero : line.poured.plus(poured),
        },
  );
}

/** Counts the lines of a batch for a correction. */
export function countingOf(state: PourState): Counting {
  const lost = lostFrom(state);
  const counts = state.lines.map((line) => counted(state, line));
  const lots = lotsByCode(state.facts);
  const lines = counts.map((count) => correctionLine(state, count, lots.get(count.line.step.lot), lost));
  const qs = lines.find((line) => line.qs && !line.accepted)?.id ?? null;
  const shifted = qs !== null && counts.some(isMixed);
  return { lines: shifted ? withShift(lines, counts, qs) : lines, counts, qs };
}

const finalOf = (line: CorrectedLine, accepted: boolean): Decimal => {
  if (line.topUp !== null) return line.poured.plus(line.topUp.aim);
  return accepted || line.poured.gt(0) ? line.poured : line.target;
};

/** A corrected line in grams of its present bottle. */
function weighed(corrected: CorrectedLine, { line, ratio, poured }: Counted): CorrectedLine {
  const turn = (mass: Decimal): Decimal => mass.div(ratio).toDecimalPlaces(DECIMALS);
  const { topUp } = corrected;
  const turned = {
    ...corrected,
    poured: line.poured,
    target: line.poured.plus(turn(corrected.target.minus(poured))),
    half: turn(corrected.half),
    topUp: topUp && { low: turn(topUp.low), aim: turn(topUp.aim), high: turn(topUp.high) },
  };
  return { ...turned, extra: finalOf(turned, isAccepted(line)).minus(line.target) };
}

/** The q.s. line with `brought` g less: what the others bring beyond their count. */
function filled(
  line: CorrectedLine,
  was: LineState,
  brought: Decimal,
  rules: CorrectionRules,
): CorrectedLine {
  const target = line.target.minus(brought);
  const half = Decimal.max(target.times(rules.tolerance), rules.d).toDecimalPlaces(DECIMALS);
  const less = brought.minus(line.poured.minus(was.poured));
  const shifted = line.topUp && {
    low: line.topUp.low.minus(less),
    aim: line.topUp.aim.minus(less),
    high: line.topUp.high.minus(less),
  };
  const topUp = shifted?.low.gt(0) === true ? shifted : null;
  const turned = { ...line, target, half, poured: was.poured, topUp };
  return { ...turned, extra: finalOf(turned, isAccepted(was)).minus(was.target) };
}

/**
 * A correction in grams as the balance shows them: of each line's present bottle, with the q.s. line taking up what
 * that brings or saves of solvent.
 * @param other a line that the correction already gives in grams of its new bottle
 */
export function inGrams(
  { counts, qs }: Counting,
  choice: Correction,
  rules: CorrectionRules,
  other: string | null = null,
): Correction {
  if (!counts.some(isMixed)) return choice;
  let brought = zero;
  const lines = choice.lines.map((line, i) => {
    const count = counts[i];
    if (count === undefined || !isMixed(count) || line.id === other) return line;
    const turned = weighed(line, count);
    const accepted = isAccepted(count.line);
    brought = brought.plus(finalOf(turned, accepted)).minus(finalOf(line, accepted));
    return turned;
  });
  if (qs === null)
    return { ...choice, lines, total: choice.total.plus(brought), extra: choice.extra.plus(brought) };
  return {
    ...choice,
    lines: lines.map((line, i) => {
      const was = counts[i]?.line;
      return line.id === qs && was !== undefined ? filled(line, was, brought, rules) : line;
    }),
  };
}
