import { decimalsOf } from '../quantity/decimal.ts';
import type { Reading } from './reading.ts';

/** A reading in display steps: `c` counts of d; `g` the text that was shown. */
export interface Seen {
  readonly c: number;
  readonly g: string;
  readonly at: number;
}

/**
 * The display step of a reading, g: one unit of its last digit, carried into grams when the balance shows another unit.
 */
export function stepOf(reading: Reading): number {
  const figure = Math.abs(Number(reading.figure));
  const perUnit = figure === 0 ? 0 : Math.abs(Number(reading.g)) / figure;
  return perUnit === 0 ? 10 ** -decimalsOf(reading.g) : perUnit * 10 ** -reading.digits;
}

/** A draught may hold the reading off its level for so long, ms. */
export const GUST_MS = 3000;
/** A step of more than this is no draught: a lift, a knock, a stream; d. */
export const SURE_STEP = 8;
/** A level is two neighbouring figures: a mass between two steps flickers. */
const AGREES = 0.75;
const NEARLY = 1.3;
/** What is further off the level than this does not enter its estimate, d. */
const COUNTS_WITHIN = 1.6;
/** Share cut off at either end: the mean of the middle is deaf to plateaus as a median is, and tells half steps. */
const TRIM = 0.35;

/** Where the mass has rested: since which reading, until which, and what it weighs. */
export interface Level {
  /** Times of the first and the last reading that agree with the level, ms. */
  readonly from: number;
  readonly until: number;
  /** The figure that the balance showed nearest to the centre. */
  readonly median: Seen;
  /** Mean of the middle 30 %, counts: a median that tells a mass between two figures. */
  readonly centre: number;
  /** Readings that entered the estimate, and the time of the first of them. */
  readonly readings: number;
  readonly since: number;
}

interface Walk {
  readonly at: number;
  readonly weight: number;
  readonly first: number;
}

/**
 * Goes back from the newest reading over all that agree with `at` (counts), passing over excursions that are too
 * short to be anything but a draught, and ends at the first that is longer, or at a step that is no draught.
 */
function walkBack(seen: readonly Seen[], at: number): Walk {
  let weight = 0;
  let first = -1;
  let agreed = seen.at(-1)?.at ?? 0;
  for (let n = seen.length - 1; n >= 0; n--) {
    const one = seen[n];
    if (one === undefined) break;
    const off = Math.abs(one.c - at);
    if (off <= AGREES) {
      weight += 1;
      first = n;
      agreed = one.at;
    } else if (off > SURE_STEP || agreed - one.at > GUST_MS) break;
    else if (off <= NEARLY) weight += 0.5;
  }
  return { at, weight, first };
}

/** The level, among those met in the last GUST_MS, that most readings agree with. */
function best(seen: readonly Seen[]): Walk | null {
  const now = seen.at(-1);
  if (now === undefined) return null;
  const places = new Set<number>();
  for (let n = seen.length - 1; n >= 0; n--) {
    const one = seen[n];
    if (one === undefined || now.at - one.at > GUST_MS) break;
    places.add(one.c);
    places.add(one.c + 0.5);
  }
  let found: Walk | null = null;
  for (const place of places) {
    const walk = walkBack(seen, place);
    if (walk.first >= 0 && (found === null || walk.weight > found.weight)) found = walk;
  }
  return found;
}

/** The reading whose figure lies nearest to `at`, counts. */
function nearestTo(readings: readonly Seen[], at: number): Seen | undefined {
  let found: Seen | undefined;
  for (const one of readings)
    if (found === undefined || Math.abs(one.c - at) < Math.abs(found.c - at)) found = one;
  return found;
}

/**
 * The level the mass rests at by all of `seen` (oldest first): the one that most readings agree with, estimated from
 * those that come `lateMs` or more after its first, when the filter of the balance has caught up; from all of them
 * while there are none. The mode finds it, the median weighs it: draughts are plateaus to one side, which a mean
 * would follow. @returns null when there is no reading
 */
export function levelOf(seen: readonly Seen[], lateMs: number): Level | null {
  const walk = best(seen);
  if (walk === null) return null;
  const near = seen.slice(walk.first).filter((one) => Math.abs(one.c - walk.at) <= COUNTS_WITHIN);
  const from = near[0]?.at ?? 0;
  const late = near.filter((one) => one.at - from >= lateMs);
  const used = late.length > 0 ? late : near;
  const sorted = used.toSorted((a, b) => a.c - b.c);
  const n = sorted.length;
  const middle = sorted.slice(Math.floor(TRIM * n), Math.ceil((1 - TRIM) * n));
  const centre = middle.reduce((sum, one) => sum + one.c, 0) / middle.length;
  const median = nearestTo(middle, centre);
  if (median === undefined) return null;
  const until = near.findLast((one) => Math.abs(one.c - walk.at) <= AGREES)?.at ?? from;
  return { from, until, median, centre, readings: n, since: used[0]?.at ?? from };
}
