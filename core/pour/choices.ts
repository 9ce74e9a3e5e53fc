import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import { againOf } from './again.ts';
import {
  type Correction,
  type CorrectionRules,
  type Corrections,
  corrections,
  newTargets,
} from './correction.ts';
import type { StartAgain } from './correction-again.ts';
import { type BottleOffer, otherBottles } from './correction-bottle.ts';
import type { CorrectionLimit } from './correction-limits.ts';
import { type Withdrawal, withdrawStirred, withdrawUnmixed } from './correction-withdraw.ts';
import { type Counting, countingOf, inGrams } from './counting.ts';
import type { PourEvent } from './events.ts';
import { bottlesFor, newBottle } from './shelf.ts';
import { netTotal, type PourState } from './state.ts';

/** The ways out of an overpour beyond scaling and keeping; null where one does not apply. */
export interface FurtherChoices {
  readonly withdrawUnmixed: Withdrawal | null;
  readonly withdrawLeast: Withdrawal | null;
  readonly withdrawExact: Withdrawal | null;
  readonly bottleLeast: BottleOffer | null;
  readonly bottleExact: BottleOffer | null;
  readonly again: StartAgain;
}

export type Choices = Corrections & FurtherChoices;

const zero = new Decimal(0);

/** The rules of corrections for a batch as it stands on its balance. */
export function rulesOf(state: PourState): CorrectionRules {
  const { capacity, d } = state.facts.balance.limits;
  return {
    tolerance: decimal(state.facts.plan.tolerance),
    d: decimal(d),
    vesselRoom: null,
    balanceRoom: state.gross === null ? null : decimal(capacity).minus(state.gross).plus(state.shift),
  };
}

/** What still stands in the way once `aim` g are out: the balance then has so much more room. */
function limitsAfter(state: PourState, aim: Decimal, rest: Correction): CorrectionLimit[] {
  const room = rulesOf(state).balanceRoom;
  const fits = room === null || rest.total.minus(netTotal(state)).lte(room);
  return rest.limits.filter((limit) => limit.what !== 'balance' || (!fits && aim.gt(0)));
}

/** A withdrawal in g on the balance, with what is left to do in g of each line's present bottle. */
function taken(
  state: PourState,
  counting: Counting,
  rules: CorrectionRules,
  withdrawal: Withdrawal | null,
): Withdrawal | null {
  if (withdrawal === null) return null;
  const { low, aim, high, rest } = withdrawal;
  const sum = counting.lines.reduce((total, line) => total.plus(line.poured), zero);
  const inVessel = netTotal(state);
  const turn = (mass: Decimal): Decimal =>
    sum.eq(inVessel) ? mass : mass.times(inVessel).div(sum).toDecimalPlaces(24, Decimal.ROUND_CEIL);
  const inRest = inGrams(counting, rest, rules);
  return {
    ...withdrawal,
    low: turn(low),
    aim: turn(aim),
    high: high === null ? null : turn(high),
    rest: { ...inRest, limits: limitsAfter(state, aim, inRest) },
  };
}

function bottleOffer(
  state: PourState,
  counting: Counting,
  planned: Correction,
  rules: CorrectionRules,
): BottleOffer | null {
  if (planned.kind === 'keep') return null;
  const [offer] = otherBottles(
    counting.lines,
    rules,
    bottlesFor(state, counting, planned, rules),
    planned.kind,
  );
  if (offer === undefined) return null;
  return { ...offer, correction: inGrams(counting, offer.correction, rules, offer.bottle.line) };
}

/**
 * Every way to go on from a line past its window, each with what it costs: least, exact and keep always, the others
 * where they apply. Masses in g as the balance shows them.
 */
export function choicesOf(state: PourState): Choices {
  const rules = rulesOf(state);
  const counting = countingOf(state);
  const { lines } = counting;
  const all = corrections(lines, rules);
  const several = lines.filter((line) => line.poured.gt(0)).length > 1;
  const stirred = (kind: 'exact' | 'least') =>
    several ? taken(state, counting, rules, withdrawStirred(lines, rules, kind)) : null;
  return {
    least: inGrams(counting, all.least, rules),
    exact: inGrams(counting, all.exact, rules),
    keep: inGrams(counting, all.keep, rules),
    withdrawUnmixed: taken(state, counting, rules, withdrawUnmixed(lines, rules)),
    withdrawLeast: stirred('least'),
    withdrawExact: stirred('exact'),
    bottleLeast: bottleOffer(state, counting, all.least, rules),
    bottleExact: bottleOffer(state, counting, all.exact, rules),
    again: againOf(state, lines, rules),
  };
}

const correctionEvent = (choice: Correction): Extract<PourEvent, { type: 'correction-chosen' }> => ({
  type: 'correction-chosen',
  choice: choice.kind,
  scale: plain(choice.scale),
  targets: newTargets(choice),
  total: plain(choice.total),
});

/** The event that takes a correction, with the line that comes from another bottle where one does. */
export function chosen(state: PourState, choice: Correction, offer: BottleOffer | null): PourEvent {
  const event = correctionEvent(choice);
  if (offer === null) return event;
  const { line, lot } = offer.bottle;
  return { ...event, bottle: newBottle(state, line, lot) };
}
