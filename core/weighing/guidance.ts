import { countable, type DropSize, inDrops } from './drops.ts';

/**
 * What the hand does now. `stream`: pour freely. `slow`: single drops, or a thin stream. `pause`: stop and wait until
 * the reading rests. `count`: so many drops, then wait. `touch-off`: less than a drop, or drops too small to count: touch
 * the tip to the wall, watch. `stop`: enough is in, or on its way.
 */
export type GuidancePhase = 'stream' | 'slow' | 'pause' | 'count' | 'touch-off' | 'stop';

/** Masses in g, times in s. */
export interface GuidanceFrom {
  /** From the reading to the aim, and to the lower and the upper edge of the window. */
  readonly toGo: number;
  readonly low: number;
  readonly high: number;
  /** Display step. */
  readonly d: number;
  readonly drop: DropSize;
  /** How fast it is being poured at this moment, g/s. */
  readonly rate: number;
  /** Time the balance needs to half of a step, and its readings a second. */
  readonly lag: number;
  readonly hz: number;
  /** Whether the reading rests: only then a count is told. */
  readonly atRest: boolean;
}

export interface Guidance {
  readonly phase: GuidancePhase;
  /** Whole drops to give now, where a count may be told. */
  readonly drops: number | null;
  /** About how many drops are to go, as a figure to show beside the mass; null where a drop is too small to count. */
  readonly about: number | null;
  /** Mass that is poured but not yet shown, g. */
  readonly inFlight: number;
}

/** From a signal to a hand that obeys: reaction, and the hand itself, s. */
export const REACTION_S = 0.3;
export const HAND_S = 0.12;
/** Drops left at which the free pour pauses, and from which it slows. */
const PAUSE_AT = 4;
const SLOW_AT = 9;
/** A drop more than the aim is worse than a drop less: only this share of a drop is rounded up. */
const ROUNDS_UP = 0.3;
/** A rate below this share of a drop per second is none. */
const STILL = 0.2;

/** Time from the mass on the pan to a hand that has stopped, s: t50 + half a reading + reaction + hand. */
export const stopLead = (lag: number, hz: number): number => lag + 1 / (2 * hz) + REACTION_S + HAND_S;

/**
 * The cue for this moment. The mass on its way is rate x lead; the pause and the stop come so much earlier.
 * No count is told while mass is in flight, nor for drops below two display steps, nor where the uncertainty of the
 * count is above half a drop.
 */
export function guide(from: GuidanceFrom): Guidance {
  const { toGo, low, drop, d, rate, lag, hz, atRest } = from;
  const moving = rate > STILL * drop.mean;
  const shownLate = moving ? rate * (lag + 1 / (2 * hz)) : 0;
  const lead = moving ? rate * stopLead(lag, hz) : 0;
  const left = inDrops(toGo - shownLate, 0.5 * d, drop, d);
  const about = countable(drop, d) ? Math.max(0, Math.round(left.drops)) : null;
  const say = (phase: GuidancePhase, drops: number | null = null): Guidance => ({
    phase,
    drops,
    about,
    inFlight: shownLate,
  });
  if (low <= 0 || toGo - lead <= 0) return say('stop');
  const afterStop = (toGo - lead) / drop.mean;
  if (!atRest) {
    if (afterStop <= PAUSE_AT) return say('pause');
    return say(afterStop <= SLOW_AT ? 'slow' : 'stream');
  }
  return resting(from, left, say);
}

/** What to do from a reading at rest. */
function resting(
  { toGo, high, drop, d }: GuidanceFrom,
  left: { readonly drops: number; readonly exact: number | null },
  say: (phase: GuidancePhase, drops?: number | null) => Guidance,
): Guidance {
  if (left.drops > SLOW_AT) return say('stream');
  if (left.drops > PAUSE_AT + 1) return say('slow');
  if (!countable(drop, d)) return say('touch-off');
  const count = Math.floor(toGo / drop.mean + ROUNDS_UP);
  if (count >= 1) return say('count', left.exact === null ? null : count);
  return drop.mean <= high ? say('count', 1) : say('touch-off');
}
