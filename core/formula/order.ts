import type { Decimal } from '../quantity/decimal.ts';
import type { PlanWarning } from './types.ts';

/** What the order is decided by. Masses in g. */
export interface Placed {
  readonly line: string;
  readonly title: string;
  readonly target: Decimal;
  readonly half: Decimal;
  /** Only compared and shown, so floating point does. */
  readonly drop: number;
  readonly kind: 'neat' | 'dilution' | 'solvent';
  readonly solid: boolean;
  readonly qs: boolean;
}

/** Solids 0, then what carries scent 1, solvents 2, the q.s. line 3. */
function rank(step: Placed): number {
  if (step.qs) return 3;
  if (step.kind === 'solvent') return 2;
  return step.solid ? 0 : 1;
}

/** Drops to each side of the target: only compared and shown, so floating point does. */
const room = (step: Placed): number => step.half.toNumber() / step.drop;

/**
 * The order of a pour: solids first, so that they dissolve under what follows; then the line whose window is tightest
 * against one drop, because little is yet in the vessel to scale when it is overpoured; solvents after, and last the
 * one that fills to the total.
 */
export function inPourOrder<T extends Placed>(steps: readonly T[]): T[] {
  const keyed = steps.map((step) => ({ step, rank: rank(step), room: room(step) }));
  keyed.sort((a, b) => {
    if (a.rank !== b.rank) return a.rank - b.rank;
    return a.room - b.room || a.step.target.cmp(b.step.target) || (a.step.line < b.step.line ? -1 : 1);
  });
  return keyed.map(({ step }) => step);
}

/** Top-ups that an order costs more are said from so many grams on. */
const WORTH_SAYING = 0.01;

/** Why a step stands where it stands, in one sentence. */
export function reasonOf(step: Placed, byHand: boolean): string {
  if (byHand) return 'Placed by hand.';
  if (step.qs) return 'Last: it fills to the total and takes up what the others are short of or over.';
  if (step.kind === 'solvent') return 'After the materials: a solvent has the widest window.';
  if (step.solid) return 'First: a solid, it dissolves under what follows.';
  const drops = room(step);
  const width = (drops * 2).toFixed(1);
  return drops < 2
    ? `Early: its whole window is ${width} drops wide, and little is in the vessel yet to scale.`
    : `Its window is ${width} drops wide; tighter ones go before it.`;
}

/**
 * What one drop too many costs at each place: the line is over its window by a drop less the half-window, and all that
 * is in the vessel before it must be topped up in proportion. In g, in the order of the steps.
 */
export function dropCosts(steps: readonly Placed[]): number[] {
  let before = 0;
  return steps.map((step) => {
    const half = step.half.toNumber();
    const target = step.target.toNumber();
    const cost = (Math.max(step.drop - half, 0) / (target + half)) * before;
    before += target;
    return cost;
  });
}

/**
 * Puts the steps into the order of `lines`; those not named follow in the order proposed.
 * Says of every step that is moved what a drop too many costs there and where it stood.
 */
export function reorder<T extends Placed>(
  proposed: readonly T[],
  lines: readonly string[],
): { steps: T[]; warnings: PlanWarning[] } {
  const byLine = new Map(proposed.map((step) => [step.line, step]));
  const named = [...new Set(lines)].flatMap((line) => byLine.get(line) ?? []);
  const steps = [...named, ...proposed.filter((step) => !named.includes(step))];
  const then = dropCosts(proposed);
  const was = new Map(proposed.map((step, at) => [step.line, then[at] ?? 0]));
  const now = dropCosts(steps);
  const warnings = steps.flatMap((step, at): PlanWarning[] => {
    const cost = now[at] ?? 0;
    const before = was.get(step.line) ?? 0;
    if (cost <= before + WORTH_SAYING) return [];
    return [
      {
        line: step.line,
        what: 'order',
        text: `Here a drop too many of ${step.title} costs ${cost.toFixed(2)} g of top-ups; in the order proposed, ${before.toFixed(2)} g.`,
      },
    ];
  });
  return { steps, warnings };
}
