import { type Choices, choicesOf } from '../../core/pour/choices.ts';
import type { Correction } from '../../core/pour/correction.ts';
import type { BottleOffer } from '../../core/pour/correction-bottle.ts';
import type { Withdrawal } from '../../core/pour/correction-withdraw.ts';
import type { NewTarget, PourEvent } from '../../core/pour/events.ts';
import { lastPour, lineOf, type PourState } from '../../core/pour/state.ts';
import { pourWindow } from '../../core/pour/window.ts';
import { Decimal, decimal, fixed, plain } from '../../core/quantity/decimal.ts';
import { happenedText } from '../../core/record/happenings.ts';
import type {
  CaptureLine,
  ChoiceLine,
  CorrectionLine,
  FurtherLine,
  OverpourLine,
  PourLine,
  StepLine,
  WithdrawnLine,
} from './pour-line.ts';

const MICROGRAM = 6;

/** A mass in g as decimal text, exact down to a microgram. */
export const grams = (mass: Decimal): string => plain(mass.toDecimalPlaces(MICROGRAM));

/** A mass fraction as decimal text, to six decimals. */
export const fractionText = (fraction: Decimal): string => fixed(fraction, 6);

/** The step that is in hand. @throws RangeError when no line is */
export function stepLine(state: PourState): StepLine {
  const hand = state.inHand;
  if (hand === null) throw new RangeError('no bottle is in hand');
  const line = lineOf(state, hand.line);
  const { aim, low, high } = pourWindow(state, line);
  const zero = new Decimal(0);
  return {
    event: 'step',
    line: hand.line,
    lot: hand.lot,
    title: line.step.title,
    target_g: grams(aim),
    window_g: [grams(Decimal.max(low, zero)), grams(high)],
    before_g: grams(hand.before),
    drop_g: line.step.drop,
    top_up: line.poured.gt(0),
  };
}

function choiceLine(choice: Correction): ChoiceLine {
  return {
    choice: choice.kind,
    scale: plain(choice.scale.toDecimalPlaces(MICROGRAM)),
    total_g: grams(choice.total),
    extra_g: grams(choice.extra),
    all_inside: choice.allInside,
    cost: choice.cost === null ? null : grams(choice.cost),
    worst_before: fractionText(choice.worstBefore),
    worst_after: fractionText(choice.worstAfter),
    lines: choice.lines.flatMap(({ id, extra }) =>
      extra.isZero() ? [] : [{ line: id, extra_g: grams(extra) }],
    ),
    limits: choice.limits.map((limit) => limit.text),
  };
}

function withdrawing(
  choice: FurtherLine['choice'],
  withdrawal: Withdrawal | null,
  { keep }: Choices,
): FurtherLine[] {
  if (withdrawal === null) return [];
  const { rest, aim, lost } = withdrawal;
  const cost = rest.cost === null || lost === null ? null : grams(rest.cost.plus(lost));
  const worst_before = fractionText(keep.worstBefore);
  return [{ ...choiceLine(rest), choice, out_g: grams(aim), bottle: null, cost, worst_before }];
}

function fromBottle(choice: FurtherLine['choice'], offer: BottleOffer | null): FurtherLine[] {
  if (offer === null) return [];
  const { line, lot } = offer.bottle;
  return [{ ...choiceLine(offer.correction), choice, out_g: null, bottle: { line, lot } }];
}

/** The further ways to go on that apply. */
function furtherLines(choices: Choices): FurtherLine[] {
  const { again, keep } = choices;
  return [
    ...withdrawing('withdraw-unmixed', choices.withdrawUnmixed, choices),
    ...withdrawing('withdraw-least', choices.withdrawLeast, choices),
    ...withdrawing('withdraw-exact', choices.withdrawExact, choices),
    ...fromBottle('bottle-least', choices.bottleLeast),
    ...fromBottle('bottle-exact', choices.bottleExact),
    {
      ...choiceLine(keep),
      choice: 'again',
      total_g: grams(again.total),
      extra_g: '0',
      all_inside: true,
      cost: again.lost === null ? null : grams(again.lost),
      worst_after: '0',
      lines: [],
      limits: again.limits.map((limit) => limit.text),
      out_g: grams(again.discarded),
      bottle: null,
    },
  ];
}

/** An overpour with the ways to go on. */
export function overpourLine(state: PourState, id: string): OverpourLine {
  const line = lineOf(state, id);
  const choices = choicesOf(state);
  return {
    event: 'overpour',
    line: id,
    over_g: grams(line.poured.minus(line.target)),
    choices: [choices.least, choices.exact, choices.keep].map(choiceLine),
    further: furtherLines(choices),
  };
}

type Of<T extends PourEvent['type']> = Extract<PourEvent, { type: T }>;

function capturedLines(event: Of<'captured'>, state: PourState): PourLine[] {
  const { line, pour, net, verdict } = event;
  const capture: CaptureLine = { event: 'capture', line, pour, net_g: net, verdict };
  return state.phase === 'over' ? [capture, overpourLine(state, line)] : [capture];
}

function revisedLines(event: Of<'revised'>, state: PourState): PourLine[] {
  const line = state.pours.find((one) => one.pour === event.pour)?.line ?? '';
  const { pour, net, verdict } = event;
  const revised: CaptureLine = { event: 'revised', line, pour, net_g: net, verdict };
  return state.phase === 'over' ? [revised, overpourLine(state, line)] : [revised];
}

function correctionLine(event: Of<'correction-chosen'>): CorrectionLine {
  return {
    event: 'correction',
    choice: event.choice,
    scale: plain(decimal(event.scale).toDecimalPlaces(MICROGRAM)),
    total_g: grams(decimal(event.total)),
    targets: targetsOf(event.targets),
    ...(event.bottle === undefined ? {} : { bottle: { line: event.bottle.line, lot: event.bottle.lot } }),
  };
}

const targetsOf = (targets: readonly NewTarget[]): CorrectionLine['targets'] =>
  targets.map(({ line, target, half, topUp }) => ({
    line,
    target_g: grams(decimal(target)),
    half_g: grams(decimal(half)),
    top_up_g: topUp === null ? null : grams(decimal(topUp.aim)),
  }));

function withdrawnLines(event: Of<'withdrawn' | 'withdrawal-revised'>, state: PourState): PourLine[] {
  const { type, taken, verdict, total, targets } = event;
  const line: WithdrawnLine = {
    event: type,
    taken_g: taken,
    verdict,
    total_g: grams(decimal(total)),
    targets: targetsOf(targets),
  };
  const last = lastPour(state);
  return state.phase === 'over' && last !== null ? [line, overpourLine(state, last.line)] : [line];
}

/** What is to be taken out now. @throws RangeError when nothing is */
export function withdrawLine({ withdrawing: drawing }: PourState): PourLine {
  if (drawing === null) throw new RangeError('nothing is being taken out');
  const { from, low, aim, high, before } = drawing;
  return {
    event: 'withdraw',
    from,
    target_g: grams(aim),
    window_g: [grams(low), high === null ? null : grams(high)],
    before_g: grams(before),
  };
}

/**
 * The output lines for one stored event; `state` is the batch after it. The closing line is not told here: it comes
 * once the record is written.
 */
export function linesOf(event: PourEvent, state: PourState): PourLine[] {
  switch (event.type) {
    case 'started':
      return [{ event: 'started', formula: event.formula.name, total_g: event.plan.total }];
    case 'vessel-weighed':
      return [{ event: 'vessel', gross_g: event.gross }];
    case 'pour-begun':
      return [stepLine(state)];
    case 'captured':
      return capturedLines(event, state);
    case 'revised':
      return revisedLines(event, state);
    case 'correction-chosen':
      return [correctionLine(event)];
    case 'withdrawal-begun':
      return [withdrawLine(state)];
    case 'withdrawal-left':
      return [{ event: 'withdrawal-left' }];
    case 'withdrawn':
    case 'withdrawal-revised':
      return withdrawnLines(event, state);
    case 're-zeroed':
      return [{ event: 're-zeroed', from_g: event.from, to_g: event.to }];
    case 'noticed':
      return [{ event: 'noticed', what: event.what, detail: event.detail }];
    case 'balance-lost':
      return [{ event: 'balance-lost', why: event.why }];
    case 'balance-back':
      return [{ event: 'balance-back' }];
    case 'voided':
      return [{ event: 'voided', pour: event.pour, reason: event.reason }];
    case 'skipped':
      return [{ event: 'skipped', line: event.line, reason: event.reason }];
    case 'paused':
      return [{ event: 'paused', why: event.why }];
    case 'resumed':
      return [{ event: 'resumed' }];
    case 'abandoned':
      return [
        {
          event: 'abandoned',
          reason: event.reason,
          ...(event.followedBy === undefined ? {} : { followed_by: event.followedBy }),
        },
      ];
    case 'vessel-lifted':
    case 'vessel-returned':
    case 're-read':
    case 'line-added':
    case 'caution-heeded':
    case 'break-taken':
    case 'closing-weighed':
    case 'pan-checked':
      return [{ event: 'noticed', what: event.type, detail: happenedText(event) }];
    case 'confirmed':
    case 'closed':
    case 'amended':
      return [];
  }
}
