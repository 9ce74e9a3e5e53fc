import { Decimal, decimal, decimalsOf, fixed, plain } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';
import { rulesOf } from './choices.ts';
import { PourRefusal } from './commands.ts';
import { corrections, newTargets } from './correction.ts';
import { afterWithdrawal, type Withdrawal } from './correction-withdraw.ts';
import { type Counting, countingOf, inGrams } from './counting.ts';
import type { PourEvent } from './events.ts';
import { netTotal, type PourState, type Withdrawing } from './state.ts';

/** Masses in g closer than this are the same: the last digits of a ratio put nothing past its window. */
const SAME_MASS = new Decimal('1e-15');

type Outcome = Pick<Extract<PourEvent, { type: 'withdrawn' }>, 'verdict' | 'scale' | 'targets' | 'total'>;

/** The event that begins a withdrawal. */
export function withdrawalBegun(state: PourState, { from, low, aim, high, rest }: Withdrawal): PourEvent[] {
  const { gross } = state;
  if (gross === null) return [];
  const decimals = Math.max(decimalsOf(state.facts.balance.limits.d), gross.decimalPlaces());
  return [
    {
      type: 'withdrawal-begun',
      from,
      kind: rest.kind === 'exact' ? 'exact' : 'least',
      low: plain(low),
      aim: plain(aim),
      high: high === null ? null : plain(high),
      before: fixed(gross, decimals),
    },
  ];
}

/** Where the lines stand once `share` of what is in was taken out: the fraction of all that left. */
function linesAfter(counting: Counting, share: Decimal): ReturnType<typeof afterWithdrawal> {
  const sum = counting.lines.reduce((total, line) => total.plus(line.poured), new Decimal(0));
  return afterWithdrawal(counting.lines, sum.times(share), 'stirred');
}

/** What a withdrawal of `taken` g leaves to do. */
function outcomeOf(state: PourState, { from, kind }: Withdrawing, taken: Decimal): Outcome {
  const rules = rulesOf(state);
  const counting = countingOf(state);
  const after = linesAfter(counting, taken.div(netTotal(state)));
  const asItWas = { scale: '1', targets: [], total: plain(state.total) };
  const half = (target: Decimal): Decimal => Decimal.max(target.times(rules.tolerance), rules.d);
  const bound = after.filter((line) => !line.accepted && line.poured.gt(0) && line.target.gt(0));
  const off = (line: (typeof bound)[number]): Decimal => line.poured.minus(line.target);
  if (bound.some((line) => off(line).gt(half(line.target).plus(SAME_MASS))))
    return { verdict: 'over', ...asItWas };
  if (from === 'unmixed') {
    const under = bound.some((line) => off(line).neg().gt(half(line.target).plus(SAME_MASS)));
    return { verdict: under ? 'under' : 'inside', ...asItWas };
  }
  const rest = inGrams(counting, corrections(after, rules)[kind], rules);
  return {
    verdict: 'inside',
    scale: plain(rest.scale),
    targets: newTargets(rest),
    total: plain(rest.total),
  };
}

const stepsOfDisplay = (state: PourState, steps: number): Decimal =>
  decimal(state.facts.balance.limits.d).times(steps);

/**
 * How much a settled reading says is out; null where it cannot be that: mass came in, the vessel is off the pan, or the
 * display was zeroed.
 */
function takenBy({ before }: Withdrawing, state: PourState, settled: Settled): Decimal | null {
  const after = decimal(settled.g);
  const taken = before.minus(after);
  const drift = stepsOfDisplay(state, 2);
  if (taken.lte(0) || after.abs().lte(drift) || taken.gte(netTotal(state).minus(drift))) return null;
  return taken;
}

/** A mass written with as many decimals as the balance's figure. */
const like = (value: Decimal, figure: string): string => {
  const point = figure.indexOf('.');
  return fixed(value, Math.max(point < 0 ? 0 : figure.length - point - 1, value.decimalPlaces()));
};

function withdrawn(state: PourState, drawing: Withdrawing, taken: Decimal, settled: Settled): PourEvent {
  return {
    type: 'withdrawn',
    from: drawing.from,
    before: like(drawing.before, settled.g),
    after: settled.g,
    taken: like(taken, settled.g),
    ...outcomeOf(state, drawing, taken),
    settled,
  };
}

/** A reading at rest while something is being taken out: captured by itself once enough is out. */
export function onDrawn(state: PourState, settled: Settled): PourEvent[] {
  const { withdrawing } = state;
  if (withdrawing === null) return [];
  const taken = takenBy(withdrawing, state, settled);
  /* A step of one or two counts may be drift: by itself only what can be the withdrawal is captured. */
  const least = Decimal.max(withdrawing.low, Decimal.min(withdrawing.aim, stepsOfDisplay(state, 3)));
  return taken === null || taken.lt(least) ? [] : [withdrawn(state, withdrawing, taken, settled)];
}

/** Until the next pour begins another settled value, or more taken out, revises the withdrawal. */
export function reviseDrawn(state: PourState, settled: Settled): PourEvent[] {
  const { undrawn, gross } = state;
  const drawing = undrawn?.withdrawing ?? null;
  if (undrawn === null || drawing === null || gross?.eq(settled.g) === true) return [];
  const taken = takenBy(drawing, undrawn, settled);
  if (taken === null) return [];
  return [
    {
      type: 'withdrawal-revised',
      after: settled.g,
      taken: like(taken, settled.g),
      ...outcomeOf(undrawn, drawing, taken),
      settled,
    },
  ];
}

/**
 * The person takes no more out: what is out counts, be it enough or not; where nothing is, the choice is open again.
 * @throws PourRefusal while the reading moves, or where it cannot be what is left in the vessel
 */
export function endDrawing(state: PourState, settled: Settled | null): PourEvent[] {
  const { withdrawing } = state;
  if (withdrawing === null) return [];
  if (settled === null)
    throw new PourRefusal(
      'The reading still moves.',
      'Take your hand away and wait until the figures are solid.',
    );
  const now = decimal(settled.g);
  if (now.minus(withdrawing.before).abs().lte(stepsOfDisplay(state, 2))) return [{ type: 'withdrawal-left' }];
  const taken = takenBy(withdrawing, state, settled);
  if (taken !== null) return [withdrawn(state, withdrawing, taken, settled)];
  const what = `The balance reads ${settled.g} g where ${plain(withdrawing.before)} g was left`;
  if (now.gt(withdrawing.before))
    throw new PourRefusal(`${what}: more came in.`, 'Take out what came in, and what was too much.');
  throw new PourRefusal(`${what}: the vessel is not on it.`, 'Put the vessel back in the middle of the pan.');
}
