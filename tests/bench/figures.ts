import { blank, type Rule, type RuleState } from '../../core/weighing/rules.ts';
import { type Settled, type SettlingState, settle, unsettled } from '../../core/weighing/settling.ts';
import type { RoomName, Trace } from './traces.ts';

export const ROOM_NAMES: readonly RoomName[] = ['quiet', 'normal', 'draughty'];

/** What a rule made of many traces. */
export interface Score {
  readonly n: number;
  readonly none: number;
  readonly seconds: readonly number[];
  readonly wrong: number;
  readonly wrong3: number;
  readonly room: Readonly<Record<RoomName, { readonly n: number; readonly wrong: number }>>;
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
  const room = Object.fromEntries(ROOM_NAMES.map((name) => [name, { n: 0, wrong: 0 }])) as Record<
    RoomName,
    { n: number; wrong: number }
  >;
  const seconds: number[] = [];
  let none = 0;
  let wrong = 0;
  let wrong3 = 0;
  for (const trace of traces) {
    const got = answer(trace);
    room[trace.room].n++;
    if (got === null) {
      none++;
      continue;
    }
    seconds.push((got.at - trace.last) / 1000);
    if (off(trace, got.g) > 1 + MORE) {
      wrong++;
      room[trace.room].wrong++;
    }
    if (off(trace, got.g) > 3 + MORE) wrong3++;
  }
  return { n: traces.length, none, seconds, wrong, wrong3, room };
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

/** Share of wrong captures in one room, per cent. */
export const wrongIn = (result: Score, room: RoomName): number =>
  share(result.room[room].wrong, result.room[room].n);

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
