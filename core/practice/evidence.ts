import type { PourEvent } from '../pour/events.ts';
import { evolve } from '../pour/evolve.ts';
import type { PourState } from '../pour/state.ts';
import type { Reading } from '../weighing/reading.ts';
import { settle, unsettled } from '../weighing/settling.ts';
import type { Deed } from './deeds.ts';
import type { Lesson } from './lesson.ts';

/** An event of a pour with its moment, ms. */
export interface TimedEvent {
  readonly at: number;
  readonly event: PourEvent;
}

/** One reading as a trace keeps it: its moment, ms, and the gross, g. */
export interface TracePoint {
  readonly at: number;
  readonly g: string;
}

/** A stretch in which the display was at rest. Times in ms, mass in g. */
export interface Rest {
  readonly g: string;
  /** The first reading that counted, and when it was known to rest. */
  readonly since: number;
  readonly from: number;
  readonly to: number;
}

/** All that rules judge by: the event log of a pour, the learner's other deeds, and what the balance showed. */
export interface Evidence {
  /** The lesson that was set; null for a batch of the workshop under review. */
  readonly lesson: Lesson | null;
  readonly began: number;
  readonly ended: number;
  /** Display step, g. */
  readonly d: number;
  /** Figures were typed: there is no stream to judge the hand by. */
  readonly typed: boolean;
  readonly events: readonly TimedEvent[];
  readonly deeds: readonly Deed[];
  readonly trace: readonly TracePoint[];
  readonly rests: readonly Rest[];
}

/** A gap in the trace of more than this is none of the learner's waiting, ms; a rest lasts so long past its last reading. */
const GAP_MS = 3000;
const HOLDS_MS = 1000;

/** Where the display was at rest, by the same settling as at the bench. `d` in g. */
export function restsOf(trace: readonly TracePoint[], d: number): Rest[] {
  const rests: Rest[] = [];
  let state = unsettled;
  let open: Rest | null = null;
  let last = Number.NEGATIVE_INFINITY;
  const close = (to: number): void => {
    if (open !== null) rests.push({ ...open, to });
    open = null;
  };
  for (const { at, g } of trace) {
    if (at - last > GAP_MS) {
      close(last + HOLDS_MS);
      state = unsettled;
    }
    last = at;
    const reading: Reading = { kind: 'weight', g, figure: g, digits: 2, unit: 'g', stable: null, at };
    state = settle(state, reading, { pouring: true, d });
    const { settled } = state;
    const known: Rest | null = open;
    if (settled === null) close(at);
    else if (known === null || Math.abs(Number(settled.g) - Number((known as Rest).g)) > 1.5 * d) {
      close(at);
      open = { g: settled.g, since: settled.since, from: at, to: at };
    } else open = { ...(known as Rest), g: settled.g };
  }
  close(last + HOLDS_MS);
  return rests;
}

/** The rest that holds at a moment; null while the display moved. */
export const restAt = ({ rests }: Evidence, at: number): Rest | null =>
  rests.find((one) => one.from <= at && at < one.to) ?? null;

/** The first rest that is known only after a moment; null where none came. */
export const restAfter = ({ rests }: Evidence, at: number): Rest | null =>
  rests.find((one) => one.from > at) ?? null;

/** One event of a pour with the batch before and after it. */
export interface Walked extends TimedEvent {
  readonly before: PourState;
  readonly after: PourState;
}

/** The events of a pour after its start, each with the batch as it stood; a batch begun anew follows the one before. */
export function walk({ events }: Evidence): Walked[] {
  let state: PourState | null = null;
  const walked: Walked[] = [];
  for (const { at, event } of events) {
    const before: PourState | null = event.type === 'started' ? null : state;
    state = evolve(before, event);
    if (before !== null) walked.push({ at, event, before, after: state });
  }
  return walked;
}

/** A moment in words: seconds since the beginning. */
export const secondsIn = ({ began }: Evidence, at: number): number => Math.max(0, (at - began) / 1000);
