import { choicesOf } from '../../core/pour/choices.ts';
import type { Correction } from '../../core/pour/correction.ts';
import type { PourEvent } from '../../core/pour/events.ts';
import { lineOf, type PourState } from '../../core/pour/state.ts';
import { pourWindow } from '../../core/pour/window.ts';
import { Decimal, decimal, fixed, plain } from '../../core/quantity/decimal.ts';
import type {
  CaptureLine,
  ChoiceLine,
  CorrectionLine,
  OverpourLine,
  PourLine,
  StepLine,
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
    limits: choice.limits.map((limit) => limit.text),
  };
}

/** An overpour with the ways to go on. */
export function overpourLine(state: PourState, id: string): OverpourLine {
  const line = lineOf(state, id);
  const { least, exact, keep } = choicesOf(state);
  return {
    event: 'overpour',
    line: id,
    over_g: grams(line.poured.minus(line.target)),
    choices: [least, exact, keep].map(choiceLine),
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
    targets: event.targets.map(({ line, target, half, topUp }) => ({
      line,
      target_g: grams(decimal(target)),
      half_g: grams(decimal(half)),
      top_up_g: topUp === null ? null : grams(decimal(topUp.aim)),
    })),
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
      return [{ event: 'abandoned', reason: event.reason }];
    case 'confirmed':
    case 'closed':
      return [];
  }
}
