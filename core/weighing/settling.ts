import type { Reading } from './reading.ts';

/** A reading that has come to rest, with how it was found. */
export interface Settled {
  readonly g: string;
  /** Time of the reading that completed the rule, and of the first that counted; milliseconds. */
  readonly at: number;
  readonly since: number;
  readonly readings: number;
  readonly rule: string;
}

/** What settling has seen since it was cleared. */
export interface SettlingState {
  readonly run: readonly { readonly g: string; readonly at: number }[];
  readonly settled: Settled | null;
}

export const unsettled: SettlingState = { run: [], settled: null };

/** How many equal readings in a row count as settled, and for how long they must have been equal (ms). */
export const EQUAL_READINGS = 5;
export const EQUAL_FOR_MS = 700;

/** A gap longer than this cuts the run: readings before a silence say nothing about now. */
const GAP_MS = 1500;

/**
 * The settle rule: EQUAL_READINGS equal readings in a row that span EQUAL_FOR_MS, none of which the balance calls moving.
 * Cleared by the caller when a pour begins. The span keeps the rule honest at 20 readings a second, where five
 * readings would be a quarter of a second.
 */
export function settle(state: SettlingState, reading: Reading): SettlingState {
  if (reading.stable === false) return unsettled;
  const last = state.run.at(-1);
  const follows = last !== undefined && last.g === reading.g && reading.at - last.at <= GAP_MS;
  const run = follows
    ? [...state.run.slice(-199), { g: reading.g, at: reading.at }]
    : [{ g: reading.g, at: reading.at }];
  const first = run[0];
  if (first === undefined || run.length < EQUAL_READINGS || reading.at - first.at < EQUAL_FOR_MS)
    return { run, settled: null };
  if (state.settled?.g === reading.g && follows) return { run, settled: state.settled };
  const settled: Settled = {
    g: reading.g,
    at: reading.at,
    since: first.at,
    readings: run.length,
    rule: `${EQUAL_READINGS} equal readings over ${EQUAL_FOR_MS} ms`,
  };
  return { run, settled };
}
