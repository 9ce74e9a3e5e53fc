import type { Step } from '../formula/types.ts';
import { Decimal, type DecimalText, decimal } from '../quantity/decimal.ts';
import type { NewTarget, PourEvent, StartFacts } from './events.ts';

export type Phase = 'vessel' | 'bottle' | 'pouring' | 'over' | 'closing' | 'closed' | 'abandoned';

/** How a line stands: still to pour, inside its window, or ended outside it by the person's decision. */
export type LineEnd = 'open' | 'inside' | 'kept' | 'under' | 'skipped';

export interface TopUp {
  readonly low: Decimal;
  readonly aim: Decimal;
  readonly high: Decimal;
}

/** One line of the formula in the vessel. Masses in g, at the present scale of the batch. */
export interface LineState {
  readonly step: Step;
  readonly target: Decimal;
  readonly half: Decimal;
  readonly poured: Decimal;
  /** Due onto what is already poured, after a correction. */
  readonly topUp: TopUp | null;
  readonly end: LineEnd;
}

export type Verdict = 'inside' | 'over' | 'under';

/** One captured pour. Its net counts while it is not voided. */
export interface Pour {
  readonly pour: number;
  readonly line: string;
  readonly lot: string;
  readonly before: Decimal;
  readonly after: Decimal;
  readonly net: Decimal;
  readonly verdict: Verdict;
  readonly confirmed: boolean;
  readonly voided: boolean;
}

/** The bottle in hand: the line being poured and the gross it began at. */
export interface InHand {
  readonly line: string;
  readonly lot: string;
  readonly before: Decimal;
}

export interface PourState {
  readonly facts: StartFacts;
  readonly phase: Phase;
  readonly scale: Decimal;
  readonly total: Decimal;
  readonly lines: readonly LineState[];
  /** Gross of the empty vessel. */
  readonly vessel: Decimal | null;
  /** The last settled gross that counts. */
  readonly gross: Decimal | null;
  /** Sum of the jumps made by taring or zeroing the display by hand. */
  readonly shift: Decimal;
  readonly inHand: InHand | null;
  readonly pours: readonly Pour[];
  readonly paused: string | null;
  readonly lost: string | null;
  readonly closure: Decimal | null;
}

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
    paused: null,
    lost: null,
    closure: null,
  };
}

/** The line that is poured next, in the order of the plan; null when none is left. */
export function nextLine(state: PourState): LineState | null {
  return state.lines.find((line) => line.end === 'open') ?? null;
}

/** The line with this id. @throws RangeError when the batch has none */
export function lineOf(state: PourState, id: string): LineState {
  const line = state.lines.find((one) => one.step.line === id);
  if (line === undefined) throw new RangeError(`the batch has no line "${id}"`);
  return line;
}

/** The last pour that was not voided; null before the first. */
export function lastPour(state: PourState): Pour | null {
  return state.pours.findLast((pour) => !pour.voided) ?? null;
}

/** Sum of the nets that count, in g. */
export function netTotal(state: PourState): Decimal {
  return state.lines.reduce((sum, line) => sum.plus(line.poured), zero);
}

function withLine(state: PourState, id: string, change: (line: LineState) => LineState): PourState {
  return { ...state, lines: state.lines.map((line) => (line.step.line === id ? change(line) : line)) };
}

/** Sums the pours that count into the lines, and leaves their ends as they are. */
function resummed(state: PourState): PourState {
  const sums = new Map<string, Decimal>();
  for (const pour of state.pours)
    if (!pour.voided) sums.set(pour.line, (sums.get(pour.line) ?? zero).plus(pour.net));
  return {
    ...state,
    lines: state.lines.map((line) => ({ ...line, poured: sums.get(line.step.line) ?? zero })),
  };
}

/** The state as if `pour` had not been made: for judging its net, or another in its place. */
export function withoutPour(state: PourState, pour: Pour): PourState {
  return withLine(state, pour.line, (line) => ({ ...line, poured: line.poured.minus(pour.net) }));
}

const onwards = (state: PourState): Phase => (nextLine(state) === null ? 'closing' : 'bottle');

/** After a pour is captured or revised: where the line and the batch stand. */
function judged(state: PourState, pour: Pour): PourState {
  const summed = resummed(state);
  const ended = withLine(summed, pour.line, (line) => ({
    ...line,
    end: pour.verdict === 'inside' ? 'inside' : pour.verdict === 'over' ? 'open' : 'under',
    topUp: null,
  }));
  return {
    ...ended,
    inHand: null,
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
    verdict: event.verdict,
    confirmed: false,
    voided: false,
  };
  return judged({ ...state, pours: [...state.pours, pour] }, pour);
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
  const open = withLine(resummed({ ...state, pours }), pour.line, (line) => ({ ...line, end: 'open' }));
  return {
    ...open,
    phase: 'pouring',
    gross: pour.before,
    inHand: { line: pour.line, lot: pour.lot, before: pour.before },
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

function corrected(state: PourState, event: Extract<PourEvent, { type: 'correction-chosen' }>): PourState {
  const over = lastPour(state)?.line;
  const lines = state.lines.map((line) => {
    if (event.choice === 'keep') return line.step.line === over ? { ...line, end: 'kept' as const } : line;
    const target = event.targets.find((one) => one.line === line.step.line);
    return target === undefined ? line : retargeted(line, target);
  });
  const next = {
    ...state,
    lines,
    total: decimal(event.total),
    scale: state.scale.times(decimal(event.scale)),
  };
  return { ...next, phase: onwards(next) };
}

function confirmed(state: PourState, no: number): PourState {
  return {
    ...state,
    pours: state.pours.map((pour) => (pour.pour === no ? { ...pour, confirmed: true } : pour)),
  };
}

function endLine(state: PourState, id: string, end: LineEnd): PourState {
  const ended = { ...withLine(state, id, (line) => ({ ...line, end, topUp: null })), inHand: null };
  return { ...ended, phase: onwards(ended) };
}

function moved(from: DecimalText, to: DecimalText, state: PourState): PourState {
  return { ...state, gross: decimal(to), shift: state.shift.plus(decimal(to)).minus(decimal(from)) };
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
      return { ...state, vessel: decimal(event.gross), gross: decimal(event.gross), phase: onwards(state) };
    case 'pour-begun':
      return {
        ...state,
        phase: 'pouring',
        inHand: { line: event.line, lot: event.lot, before: decimal(event.before) },
        gross: decimal(event.before),
      };
    case 'captured':
      return captured(state, event);
    case 'revised':
      return revised(state, event);
    case 'confirmed':
      return confirmed(state, event.pour);
    case 'correction-chosen':
      return corrected(state, event);
    case 'voided':
      return voided(state, event);
    case 'skipped':
      return endLine(state, event.line, 'skipped');
    case 're-zeroed':
      return moved(event.from, event.to, state);
    case 'paused':
      return { ...state, paused: event.why };
    case 'resumed':
      return { ...state, paused: null };
    case 'balance-lost':
      return { ...state, lost: event.why };
    case 'balance-back':
      return { ...state, lost: null };
    case 'noticed':
      return state;
    case 'closed':
      return { ...state, phase: 'closed', gross: decimal(event.gross), closure: decimal(event.closure) };
    case 'abandoned':
      return { ...state, phase: 'abandoned', inHand: null };
  }
}

/** The fold of a batch's events. @throws RangeError when there are none or the first is not `started` */
export function fold(events: readonly PourEvent[]): PourState {
  let state: PourState | null = null;
  for (const event of events) state = evolve(state, event);
  if (state === null) throw new RangeError('a batch without events has no state');
  return state;
}
