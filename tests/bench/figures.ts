import { blank, type Rule, type RuleState } from '../../core/weighing/rules.ts';
import { type Settled, type SettlingState, settle, unsettled } from '../../core/weighing/settling.ts';
import type { RoomName, Trace, TypeName } from './traces.ts';

export const ROOM_NAMES: readonly RoomName[] = ['quiet', 'normal', 'draughty'];

interface Tally {
  readonly n: number;
  readonly wrong: number;
}

/** What a rule made of many traces. */
export interface Score {
  readonly n: number;
  readonly none: number;
  readonly seconds: readonly number[];
  readonly wrong: number;
  readonly wrong3: number;
  /** By room and by type of balance. */
  readonly among: Readonly<Partial<Record<RoomName | TypeName, Tally>>>;
}

/** One answer: the mass a rule captured, and when; null when it had none before the next pour. */
export interface Answer {
  readonly g: string;
  readonly at: number;
}

const off = (trace: Trace, g: string): number => Math.abs(Number(g) - trace.truth) / trace.d;
/** A figure half-way between is not told apart from one step by binary rounding. */
const MORE = 1e-6;

export function score(traces: readonly Trace[], answer: (trace: Trace) => Answer | null): Score {
  const among: Partial<Record<RoomName | TypeName, { n: number; wrong: number }>> = {};
  const count = (of: RoomName | TypeName, isWrong: boolean): void => {
    const tally = among[of] ?? { n: 0, wrong: 0 };
    among[of] = { n: tally.n + 1, wrong: tally.wrong + (isWrong ? 1 : 0) };
  };
  const seconds: number[] = [];
  let none = 0;
  let wrong = 0;
  let wrong3 = 0;
  for (const trace of traces) {
    const got = answer(trace);
    const isWrong = got !== null && off(trace, got.g) > 1 + MORE;
    count(trace.room, isWrong);
    count(trace.type, isWrong);
    if (got === null) {
      none++;
      continue;
    }
    seconds.push((got.at - trace.last) / 1000);
    if (isWrong) wrong++;
    if (off(trace, got.g) > 3 + MORE) wrong3++;
  }
  return { n: traces.length, none, seconds, wrong, wrong3, among };
}

/** What a naive rule captures after "done". */
export function byRule(rule: Rule, hz: number, clears: boolean) {
  return (trace: Trace): Answer | null => {
    let state: RuleState = blank;
    for (const reading of trace.readings.get(hz) ?? []) {
      if (reading.at > trace.next) return null;
      if (clears && reading.at < trace.done) continue;
      const took = rule.take(state, reading);
      state = took.state;
      if (took.g !== null && reading.at >= trace.done) return { g: took.g, at: reading.at };
    }
    return null;
  };
}

/** How settling is used: cleared when the hand says "done", or never told anything since before the first drop. */
export type Use = 'cleared' | 'hands-free';

interface Watched {
  readonly first: Settled | null;
  readonly confirmed: Settled | null;
}

/** The first figure that settling tells, and the one that stands when the next pour begins. */
export function watch(trace: Trace, hz: number, use: Use): Watched {
  const from = use === 'cleared' ? trace.done : (trace.drops[0]?.at ?? 0) - 1500;
  let state: SettlingState = unsettled;
  let first: Settled | null = null;
  for (const reading of trace.readings.get(hz) ?? []) {
    if (reading.at < from) continue;
    if (reading.at >= trace.next) break;
    const before = state.settled;
    state = settle(state, reading);
    /* What stood before the last drop could be seen is no answer to it. */
    const answers =
      state.settled !== before && (state.settled?.at ?? 0) >= Math.max(trace.done, trace.last + 150);
    if (first === null && answers) first = state.settled;
  }
  return { first, confirmed: state.told?.settled ?? null };
}

export const byFirst =
  (hz: number, use: Use) =>
  (trace: Trace): Answer | null =>
    watch(trace, hz, use).first;

export const byConfirmed =
  (hz: number, use: Use) =>
  (trace: Trace): Answer | null =>
    watch(trace, hz, use).confirmed;

export function quantile(values: readonly number[], p: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? Number.NaN;
}

export const share = (part: number, whole: number): number => (whole === 0 ? 0 : (100 * part) / whole);

/** Share of wrong captures in one room, or on one type of balance, per cent. */
export const wrongIn = ({ among }: Score, of: RoomName | TypeName): number =>
  share(among[of]?.wrong ?? 0, among[of]?.n ?? 0);

/** The gross before an onset that nobody announced: settling finds it in the stream, the first drop already in it. */
export const byOnset =
  (hz: number) =>
  (trace: Trace): Answer | null => {
    let state: SettlingState = unsettled;
    for (const reading of trace.readings.get(hz) ?? []) {
      state = settle(state, reading);
      const { onset } = state;
      if (reading.at > trace.next && onset !== null && onset.at > trace.next)
        return { g: onset.before.g, at: reading.at };
    }
    return null;
  };
