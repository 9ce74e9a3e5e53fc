import type { Step } from '../formula/types.ts';
import { Decimal } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';
import type { StartFacts } from './events.ts';

export type Phase =
  | 'vessel'
  | 'bottle'
  | 'pouring'
  | 'over'
  | 'withdrawing'
  | 'closing'
  | 'closed'
  | 'abandoned';

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
  /** Fraction of the net that is still in the vessel after all that was withdrawn since; 1 while nothing was. */
  readonly stays: Decimal;
  readonly verdict: Verdict;
  readonly confirmed: boolean;
  readonly voided: boolean;
}

/** What is to be taken out of the vessel, g. */
export interface Withdrawing {
  readonly from: 'unmixed' | 'stirred';
  readonly kind: 'exact' | 'least';
  readonly low: Decimal;
  readonly aim: Decimal;
  readonly high: Decimal | null;
  /** Gross before anything is taken out. */
  readonly before: Decimal;
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
  /** The withdrawal under way. */
  readonly withdrawing: Withdrawing | null;
  /** Sum of what was withdrawn, g. */
  readonly withdrawn: Decimal;
  /** The state before the last withdrawal, while a better value may still revise it. */
  readonly undrawn: PourState | null;
  readonly paused: string | null;
  readonly lost: string | null;
  readonly closure: Decimal | null;
  /** When the vessel was weighed, ms; closing limits grow with the time since. */
  readonly weighedAt: number | null;
  /** The gross that was read before the vessel left the pan; null while it stands there. */
  readonly lifted: Decimal | null;
  /** The vessel left the pan since the last capture: what it weighs now, put elsewhere, revises nothing. */
  readonly cut: boolean;
  /** Why the gross may not be what was poured: nothing is captured by itself until a person has said. */
  readonly doubt: string | null;
  /** What was last read at rest before the pause. */
  readonly pausedAt: Decimal | null;
  /** The last thing that was done to balance or vessel, until the next pour. */
  readonly said: Said | null;
  /** Values for closing, taken before the vessel was lifted for the check. */
  readonly closing: ClosingValues | null;
  readonly heeded: readonly string[];
}

/** Something that was seen in the readings, or done to them, and is worth a sentence. */
export interface Said {
  readonly what: 'returned' | 're-zeroed' | 'knock' | 'overload' | 'not a weight' | 'voided' | 'other';
  readonly detail: string;
}

export interface ClosingValues {
  readonly settled: Settled;
  readonly closure: Decimal;
  readonly passes: boolean;
  readonly limit: Decimal;
  /** How the empty pan was found; null until the vessel was lifted. */
  readonly pan: { readonly read: Decimal; readonly expected: Decimal; readonly passes: boolean } | null;
}

const zero = new Decimal(0);

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

/** What is in the vessel by the readings, in g: the sum of the nets that count, less what was withdrawn. */
export function netTotal(state: PourState): Decimal {
  return state.pours.reduce(
    (sum, pour) => (pour.voided ? sum : sum.plus(pour.net)),
    zero.minus(state.withdrawn),
  );
}

/** The state with one line changed. */
export function withLine(state: PourState, id: string, change: (line: LineState) => LineState): PourState {
  return { ...state, lines: state.lines.map((line) => (line.step.line === id ? change(line) : line)) };
}

/** The state as if `pour` had not been made: for judging its net, or another in its place. */
export function withoutPour(state: PourState, pour: Pour): PourState {
  return withLine(state, pour.line, (line) => ({
    ...line,
    poured: line.poured.minus(pour.net.times(pour.stays)),
  }));
}
