/**
 * What the balance does by itself, and what was done to it: drift and evaporation, the closing check, and what a jump
 * between two readings at rest was. Masses in g, times in ms unless a name says otherwise.
 */

/** A straight line through readings at rest. */
export interface Slope {
  readonly gPerMin: number;
  /** Standard uncertainty, g/min. */
  readonly u: number;
  readonly seconds: number;
}

/** Unrest of a reading, d, and the time over which it hangs together, s: of a simulated balance in a quiet room. */
const REST_SD = 0.35;
const TOGETHER_S = 0.45;
/** Shorter pauses say nothing, s. */
const SHORTEST_S = 20;

/**
 * Least-squares slope of readings at rest with display step `d`: u = 3.46 x 0.35 d x sqrt(2 x 0.45 s) / T^1.5.
 * @returns null where they span less than twenty seconds
 */
export function slopeOf(
  readings: readonly { readonly g: number; readonly at: number }[],
  d: number,
): Slope | null {
  const first = readings[0];
  const last = readings.at(-1);
  if (first === undefined || last === undefined) return null;
  const seconds = (last.at - first.at) / 1000;
  if (seconds < SHORTEST_S) return null;
  const meanT = readings.reduce((sum, one) => sum + one.at, 0) / readings.length;
  const meanG = readings.reduce((sum, one) => sum + one.g, 0) / readings.length;
  let across = 0;
  let along = 0;
  for (const one of readings) {
    across += (one.at - meanT) * (one.g - meanG);
    along += (one.at - meanT) ** 2;
  }
  const perSecond = (3.46 * REST_SD * d * Math.sqrt(2 * TOGETHER_S)) / seconds ** 1.5;
  return { gPerMin: (across / along) * 60_000, u: 60 * perSecond, seconds };
}

/** What a closure may be, g: 2 d + 0.5 d a minute. */
export const closureLimit = (d: number, minutes: number): number => 2 * d + 0.5 * d * Math.max(0, minutes);

export interface ClosingCheck {
  /** gross - start - sum of the nets, g. */
  readonly closure: number;
  readonly limit: number;
  readonly passes: boolean;
}

/** Gross of vessel and liquid against the vessel at the start and the sum of what was captured. */
export function closingCheck(
  masses: { readonly gross: number; readonly start: number; readonly nets: number },
  d: number,
  minutes: number,
): ClosingCheck {
  const closure = masses.gross - masses.start - masses.nets;
  const limit = closureLimit(d, minutes);
  /* Masses are decimal figures: a difference that is the limit but for binary rounding passes. */
  return { closure, limit, passes: Math.abs(closure) <= limit + 1e-9 };
}

/** What is known when the reading has come to rest elsewhere. Masses in g. */
export interface JumpContext {
  /** The gross at rest before, and the one now. */
  readonly from: number;
  readonly to: number;
  /** Time between the last reading near `from` and the first at `to`, ms. */
  readonly ms: number;
  /** Furthest the reading went in between, from `from`; signed. */
  readonly furthest: number;
  readonly d: number;
  /** Gross of the empty vessel, null before it was weighed, and the empty pan's reading. */
  readonly vessel: number | null;
  readonly pan: number;
  /** Whether a pour is in hand, so that a rise is expected. */
  readonly pouring: boolean;
}

/**
 * What a jump was. `none`: within the unrest. `knock`: far off and back. `lifted`: the pan is empty. `returned`: the
 * vessel was off the pan and is back. `re-zeroed`: the display was set to zero at once, without a load going through.
 * `poured`, `added`: a rise, with or without a pour in hand. `taken`: something was taken out.
 */
export type Jump = 'none' | 'knock' | 'lifted' | 'returned' | 're-zeroed' | 'poured' | 'added' | 'taken';

/** Unrest, d; beyond so much a reading that comes back was knocked, d; a display set to zero jumps within, ms. */
const UNREST = 2;
const KNOCK = 8;
const AT_ONCE_MS = 300;

export function jumpOf(context: JumpContext): Jump {
  const { from, to, ms, furthest, d, vessel, pan, pouring } = context;
  const near = (a: number, b: number): boolean => Math.abs(a - b) <= UNREST * d + 1e-9;
  const wasOff = vessel !== null && near(from + furthest, pan) && !near(from, pan);
  if (near(from, to)) {
    if (wasOff) return 'returned';
    return Math.abs(furthest) > KNOCK * d ? 'knock' : 'none';
  }
  if (near(to, 0) && ms <= AT_ONCE_MS) return 're-zeroed';
  if (near(to, pan)) return 'lifted';
  if (near(from, pan) && vessel !== null && to >= vessel - UNREST * d) return 'returned';
  if (to > from) return pouring ? 'poured' : 'added';
  return 'taken';
}
