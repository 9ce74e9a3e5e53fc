import { Decimal, type DecimalText, decimal } from '../quantity/decimal.ts';
import type { NewBottle, NewTarget, PourEvent, StartFacts } from './events.ts';
import { happened } from './happened.ts';
import {
  type LineEnd,
  type LineState,
  lastPour,
  netTotal,
  nextLine,
  type Phase,
  type Pour,
  type PourState,
  withLine,
} from './state.ts';

const zero = new Decimal(0);

function begin(facts: StartFacts): PourState {
  return {
    facts,
    phase: 'vessel',
    scale: new Decimal(1),
    total: decimal(facts.plan.total),
    lines: facts.plan.steps.map((step) => ({
      step,
      target: decimal(step.target),
      half: decimal(step.half),
      poured: zero,
      topUp: null,
      end: 'open',
    })),
    vessel: null,
    gross: null,
    shift: zero,
    inHand: null,
    pours: [],
    withdrawing: null,
    withdrawn: zero,
    undrawn: null,
    paused: null,
    lost: null,
    closure: null,
    weighedAt: null,
    lifted: null,
    cut: false,
    doubt: null,
    pausedAt: null,
    said: null,
    closing: null,
    heeded: [],
  };
}

/** Decimals of what is left of a net: a ratio ends there. */
const DECIMALS = 24;

/** Sums what is left of the pours that count into the lines, and leaves their ends as they are. */
function resummed(state: PourState): PourState {
  const sums = new Map<string, Decimal>();
  for (const pour of state.pours)
    if (!pour.voided) sums.set(pour.line, (sums.get(pour.line) ?? zero).plus(pour.net.times(pour.stays)));
  return {
    ...state,
    lines: state.lines.map((line) => ({
      ...line,
      poured: (sums.get(line.step.line) ?? zero).toDecimalPlaces(DECIMALS),
    })),
  };
}

const onwards = (state: PourState): Phase => (nextLine(state) === null ? 'closing' : 'bottle');

/** After a pour is captured or revised: where the line and the batch stand. */
function judged(state: PourState, pour: Pour): PourState {
  const summed = resummed(state);
  const ended = withLine(summed, pour.line, (line) => ({
    ...line,
    ...(line.step.unplanned === true ? { target: line.poured } : {}),
    end:
      line.step.unplanned === true
        ? 'kept'
        : pour.verdict === 'inside'
          ? 'inside'
          : pour.verdict === 'over'
            ? 'open'
            : 'under',
    topUp: null,
  }));
  return {
    ...ended,
    inHand: null,
    doubt: null,
    // A pour read again after a void tells so until the next begins.
    said: state.said?.what === 'voided' ? state.said : null,
    gross: pour.after,
    phase: pour.verdict === 'over' ? 'over' : onwards(ended),
  };
}

function captured(state: PourState, event: Extract<PourEvent, { type: 'captured' }>): PourState {
  const pour: Pour = {
    pour: event.pour,
    line: event.line,
    lot: event.lot,
    before: decimal(event.before),
    after: decimal(event.after),
    net: decimal(event.net),
    stays: new Decimal(1),
    verdict: event.verdict,
    confirmed: false,
    voided: false,
  };
  return judged({ ...state, cut: false, pours: [...state.pours, pour] }, pour);
}

function revised(state: PourState, event: Extract<PourEvent, { type: 'revised' }>): PourState {
  const pours = state.pours.map((pour) =>
    pour.pour === event.pour
      ? { ...pour, after: decimal(event.after), net: decimal(event.net), verdict: event.verdict }
      : pour,
  );
  const pour = pours.find((one) => one.pour === event.pour);
  return pour === undefined ? state : judged({ ...state, pours }, pour);
}

/** A voided pour is read again from the gross it began at: the void rejects the reading, not the mass. */
function voided(state: PourState, event: Extract<PourEvent, { type: 'voided' }>): PourState {
  const pour = state.pours.find((one) => one.pour === event.pour);
  if (pour === undefined) return state;
  const pours = state.pours.map((one) => (one === pour ? { ...one, voided: true } : one));
  const open = withLine(resummed({ ...state, pours }), pour.line, (line) => ({
    ...line,
    ...(line.step.unplanned === true ? { target: zero } : {}),
    end: 'open',
  }));
  return {
    ...open,
    phase: 'pouring',
    gross: pour.before,
    inHand: { line: pour.line, lot: pour.lot, before: pour.before },
    said: { what: 'voided', detail: event.reason },
  };
}

function retargeted(line: LineState, target: NewTarget): LineState {
  const topUp = target.topUp && {
    low: decimal(target.topUp.low),
    aim: decimal(target.topUp.aim),
    high: decimal(target.topUp.high),
  };
  const poured = line.poured.gt(0);
  return {
    ...line,
    target: decimal(target.target),
    half: decimal(target.half),
    topUp,
    end: topUp !== null ? 'open' : poured && line.end === 'open' ? 'inside' : line.end,
  };
}

/** The lines at their new targets, and the batch at its new scale and total. */
function rescaled(
  state: PourState,
  {
    targets,
    scale,
    total,
  }: Pick<Extract<PourEvent, { type: 'correction-chosen' }>, 'targets' | 'scale' | 'total'>,
): PourState {
  const byLine = new Map(targets.map((target) => [target.line, target]));
  return {
    ...state,
    lines: state.lines.map((line) => {
      const target = byLine.get(line.step.line);
      return target === undefined ? line : retargeted(line, target);
    }),
    total: decimal(total),
    scale: state.scale.times(decimal(scale)),
  };
}

/** A line from another bottle: its step names that one from now on. */
function rebottled(state: PourState, { line: id, ...bottle }: NewBottle): PourState {
  return withLine(state, id, (line) => ({ ...line, step: { ...line.step, ...bottle } }));
}

function corrected(state: PourState, event: Extract<PourEvent, { type: 'correction-chosen' }>): PourState {
  const over = lastPour(state)?.line;
  const there = { ...state, undrawn: null };
  if (event.choice === 'keep' && over !== undefined) {
    const kept = withLine(there, over, (line) => ({ ...line, end: 'kept' }));
    return { ...kept, phase: onwards(kept) };
  }
  const next = rescaled(event.bottle === undefined ? there : rebottled(there, event.bottle), event);
  return { ...next, phase: onwards(next) };
}

function withdrawalBegun(
  state: PourState,
  event: Extract<PourEvent, { type: 'withdrawal-begun' }>,
): PourState {
  const { from, kind, low, aim, high, before } = event;
  return {
    ...state,
    phase: 'withdrawing',
    undrawn: null,
    withdrawing: {
      from,
      kind,
      low: decimal(low),
      aim: decimal(aim),
      high: high === null ? null : decimal(high),
      before: decimal(before),
    },
  };
}

/**
 * What is taken out is a part of all that is in: every net that counts stays by the same fraction. Of an unmixed first
 * line this is the line less what was taken.
 */
export function lessened(state: PourState, taken: Decimal): PourState {
  const total = netTotal(state);
  const stays = total.minus(taken).div(total);
  return resummed({
    ...state,
    withdrawn: state.withdrawn.plus(taken),
    pours: state.pours.map((pour) => ({ ...pour, stays: pour.stays.times(stays) })),
  });
}

/** `state` is the one in which it was being taken out. */
function withdrawn(
  state: PourState,
  event: Extract<PourEvent, { type: 'withdrawn' | 'withdrawal-revised' }>,
): PourState {
  const less = rescaled(lessened(state, decimal(event.taken)), event);
  const only = lastPour(state)?.line;
  const ended: PourState =
    event.targets.length > 0 || only === undefined
      ? less
      : withLine(less, only, (line) => ({ ...line, end: event.verdict === 'inside' ? 'inside' : 'open' }));
  return {
    ...ended,
    withdrawing: null,
    undrawn: state,
    cut: false,
    gross: decimal(event.after),
    phase: event.verdict === 'over' ? 'over' : onwards(ended),
  };
}

function confirmed(state: PourState, no: number): PourState {
  return {
    ...state,
    pours: state.pours.map((pour) => (pour.pour === no ? { ...pour, confirmed: true } : pour)),
  };
}

function endLine(state: PourState, id: string, end: LineEnd): PourState {
  const ended = {
    ...withLine(state, id, (line) => ({ ...line, end, topUp: null })),
    inHand: null,
    undrawn: null,
  };
  return { ...ended, phase: onwards(ended) };
}

/** A display that reads otherwise for the same load: what is in hand is counted from there. */
function carried(state: PourState, from: DecimalText, to: DecimalText): PourState {
  const by = decimal(to).minus(from);
  const { inHand, withdrawing } = state;
  return {
    ...state,
    inHand: inHand && { ...inHand, before: inHand.before.plus(by) },
    withdrawing: withdrawing && { ...withdrawing, before: withdrawing.before.plus(by) },
  };
}

function moved(from: DecimalText, to: DecimalText, state: PourState): PourState {
  const shift = state.shift.plus(decimal(to)).minus(decimal(from));
  return { ...carried(state, from, to), gross: decimal(to), shift, undrawn: null, lifted: null };
}

/**
 * The state after one more event; the first event is `started`. Pure: the state of a batch is the fold of its events.
 * @throws RangeError when the first event is another
 */
export function evolve(state: PourState | null, event: PourEvent): PourState {
  if (event.type === 'started') return begin(event);
  if (state === null) throw new RangeError(`a batch begins with "started", not with "${event.type}"`);
  switch (event.type) {
    case 'vessel-weighed':
      return {
        ...state,
        vessel: decimal(event.gross),
        gross: decimal(event.gross),
        weighedAt: event.settled.at,
        phase: onwards(state),
      };
    case 'pour-begun':
      return {
        ...state,
        phase: 'pouring',
        inHand: { line: event.line, lot: event.lot, before: decimal(event.before) },
        gross: decimal(event.before),
        undrawn: null,
        doubt: null,
        said: null,
      };
    case 'captured':
      return captured(state, event);
    case 'revised':
      return revised(state, event);
    case 'confirmed':
      return confirmed(state, event.pour);
    case 'correction-chosen':
      return corrected(state, event);
    case 'withdrawal-begun':
      return withdrawalBegun(state, event);
    case 'withdrawal-left':
      return { ...state, phase: 'over', withdrawing: null };
    case 'withdrawn':
      return withdrawn(state, event);
    case 'withdrawal-revised':
      return state.undrawn === null ? state : withdrawn(state.undrawn, event);
    case 'voided':
      return voided(state, event);
    case 'skipped':
      return endLine(state, event.line, 'skipped');
    case 're-zeroed':
      return { ...moved(event.from, event.to, state), said: { what: 're-zeroed', detail: event.to } };
    case 'paused':
      return {
        ...state,
        paused: event.why,
        pausedAt: event.gross === undefined ? null : decimal(event.gross),
      };
    case 'resumed':
      return { ...state, paused: null };
    case 'balance-lost':
      return { ...state, lost: event.why };
    case 'balance-back':
      return { ...state, lost: null };
    case 'vessel-lifted':
    case 'vessel-returned':
    case 're-read':
    case 'line-added':
    case 'caution-heeded':
    case 'closing-weighed':
    case 'pan-checked':
    case 'noticed':
      return happened(state, event);
    case 'break-taken':
    case 'amended':
      return state;
    case 'closed':
      return {
        ...state,
        phase: 'closed',
        gross: decimal(event.gross),
        closure: decimal(event.closure),
        undrawn: null,
      };
    case 'abandoned':
      return { ...state, phase: 'abandoned', inHand: null, withdrawing: null, undrawn: null };
  }
}

/** The fold of a batch's events. @throws RangeError when there are none or the first is not `started` */
export function fold(events: readonly PourEvent[]): PourState {
  let state: PourState | null = null;
  for (const event of events) state = evolve(state, event);
  if (state === null) throw new RangeError('a batch without events has no state');
  return state;
}
