import type { DropSize } from '../../core/weighing/drops.ts';
import { type Guidance, guide } from '../../core/weighing/guidance.ts';
import type { Seen } from '../../core/weighing/level.ts';
import { type Prediction, predict } from '../../core/weighing/prediction.ts';
import type { Reading } from '../../core/weighing/reading.ts';

/** The last readings of a pour, oldest first, in steps of the display: what tells how the hand moves. */
export type Movement = readonly Seen[];

/** So far back the hand is watched, ms; and the rate is taken over the last part of it. */
const WATCHED_MS = 2500;
const RATE_MS = 800;
/** Time a balance needs to half of a step, s: 0.3 to 0.7 in the models of the simulated balance. */
export const COMMON_LAG_S = 0.45;

/** The movement with one more reading; what is too long ago falls away. `d` in g. */
export function moved(movement: Movement, reading: Reading, d: number): Movement {
  const seen: Seen = { at: reading.at, c: Math.round(Number(reading.g) / d), g: reading.g };
  return [...movement.filter((one) => reading.at - one.at <= WATCHED_MS), seen];
}

/** How fast mass comes, g/s; never below zero. */
export function rateOf(movement: Movement, d: number): number {
  const now = movement.at(-1);
  const first = now === undefined ? undefined : movement.find((one) => now.at - one.at <= RATE_MS);
  if (now === undefined || first === undefined || now.at === first.at) return 0;
  return Math.max(0, ((now.c - first.c) * d) / ((now.at - first.at) / 1000));
}

/** Readings a second; 10 while too few have come to tell. */
export function paceOf(movement: Movement): number {
  const first = movement[0];
  const last = movement.at(-1);
  if (first === undefined || last === undefined || movement.length < 4 || last.at === first.at) return 10;
  return ((movement.length - 1) * 1000) / (last.at - first.at);
}

/** What the hand is led by. Masses in g: the aim and the window edges less what the reading shows. */
export interface Lead {
  readonly toGo: number;
  readonly low: number;
  readonly high: number;
  readonly d: number;
  readonly drop: DropSize;
  readonly atRest: boolean;
  /** Gross that the pour began at, for the ladder of its drops. */
  readonly before: number;
}

export interface Led {
  readonly guidance: Guidance;
  /** Where the gross will settle; null while it does not move. */
  readonly prediction: Prediction | null;
}

/** Guidance and settle mark of this moment. */
export function lead(movement: Movement, { before, ...from }: Lead): Led {
  const { d, drop } = from;
  return {
    guidance: guide({ ...from, rate: rateOf(movement, d), lag: COMMON_LAG_S, hz: paceOf(movement) }),
    prediction: predict({
      seen: movement,
      d,
      lag: COMMON_LAG_S,
      ladder: { base: before / d, drop: drop.mean / d },
    }),
  };
}
