/**
 * Drops: how much one weighs, how many are still to go, and whether some were swallowed. Masses in g.
 * The sums are first-order propagation of uncertainty (JCGM 100): a rise between two readings at rest, and drops
 * that differ from one another.
 */

/** Mean mass of a drop of one liquid from one pipette, and its standard uncertainty, g. */
export interface DropSize {
  readonly mean: number;
  readonly u: number;
}

/** Spread of single drops from a hand-held pipette, as a share of their mean (common practice, no source). */
export const DROP_SPREAD = 0.08;
/** No mean drop is held to be known better than this share: the pipette, the angle and the level in it change. */
export const KNOWN_AT_BEST = 0.05;
/** Below this many display steps a drop, no count that was not typed by a person is trusted. */
export const STEPS_PER_DROP = 2;
/** Standard deviation of one reading at rest, display steps: rounding and the unrest of a room. */
const REST_SD = 0.35;
/** Above this uncertainty of a count, in drops, no exact number is told. */
const EXACT_BELOW = 0.5;

/** Whether a drop is large enough against the display step `d` (g) for an automatic count. */
export const countable = (drop: DropSize, d: number): boolean => drop.mean >= STEPS_PER_DROP * d;

/**
 * Mean drop from a count that a person states and the rise of the reading at rest:
 * m = rise / n, u^2 = 2 (0.35 d)^2 / n^2 + (spread m)^2 / n.
 * @throws RangeError when the count is not a whole number of at least one, or the rise is not above zero
 */
export function learnDrop(rise: number, count: number, d: number, spread = DROP_SPREAD): DropSize {
  if (!Number.isInteger(count) || count < 1)
    throw new RangeError(`${count} is no count of drops: a whole number from 1`);
  if (!(rise > 0)) throw new RangeError(`a rise of ${rise} g cannot be drops: it must be above zero`);
  const mean = rise / count;
  const reading = (2 * (REST_SD * d) ** 2) / count ** 2;
  return { mean, u: Math.sqrt(reading + (spread * mean) ** 2 / count) };
}

/**
 * What was known of a drop and what was learnt now, weighed by their variances. What was known counts with at least
 * 5 %, and so does the result. A drop that does not fit what was known (more than three uncertainties off) replaces
 * it: another pipette is in use.
 */
export function blendDrop(known: DropSize | null, learnt: DropSize): DropSize {
  const floored = (size: DropSize): DropSize => ({ ...size, u: Math.max(size.u, KNOWN_AT_BEST * size.mean) });
  if (known === null) return floored(learnt);
  const old = floored(known);
  if (Math.abs(old.mean - learnt.mean) > 3 * Math.hypot(old.u, learnt.u)) return floored(learnt);
  const a = 1 / old.u ** 2;
  const b = 1 / learnt.u ** 2;
  return floored({ mean: (a * old.mean + b * learnt.mean) / (a + b), u: Math.sqrt(1 / (a + b)) });
}

/** A mass in drops. `exact` is a whole count that may be told; null where only "about" is honest. */
export interface InDrops {
  readonly drops: number;
  /** Standard uncertainty of `drops`. */
  readonly u: number;
  readonly exact: number | null;
}

/**
 * A mass in drops: r = mass / m, u_r^2 = (u_mass / m)^2 + (r u_m / m)^2 + r spread^2.
 * @throws RangeError when the drop has no mass
 */
export function inDrops(
  mass: number,
  uMass: number,
  drop: DropSize,
  d: number,
  spread = DROP_SPREAD,
): InDrops {
  if (!(drop.mean > 0)) throw new RangeError('a drop needs a mass above zero');
  const drops = mass / drop.mean;
  const r = Math.max(0, drops);
  const u = Math.sqrt((uMass / drop.mean) ** 2 + ((r * drop.u) / drop.mean) ** 2 + r * spread ** 2);
  const sure = countable(drop, d) && u <= EXACT_BELOW;
  return { drops, u, exact: sure ? Math.round(drops) : null };
}

/** How many drops a rise between two readings at rest was. */
export function countByRise(rise: number, drop: DropSize, d: number): InDrops {
  return inDrops(rise, REST_SD * d * Math.SQRT2, drop, d);
}

/** Drops seen as steps in the stream. `base` is where the counted drops have brought the reading, display steps. */
export interface DropCount {
  readonly count: number;
  readonly base: number;
  /** The last readings, for the rest between two drops. */
  readonly last: readonly number[];
}

/** Starts a count at a reading at rest of `counts` display steps. */
export const countFrom = (counts: number): DropCount => ({ count: 0, base: counts, last: [] });

/**
 * Takes one reading (display steps) into a count of drops of `drop` display steps. A step counts once the reading
 * pauses on it; what falls back is taken off again, so a draught that passes leaves the count as it was. Each pause
 * is a new base: an error in the drop does not add up over the count, as it does in a rise divided by a drop.
 */
export function countReading(state: DropCount, counts: number, drop: number): DropCount {
  const last = [...state.last.slice(1 - PAUSE_READINGS), counts];
  if (last.length < PAUSE_READINGS || last.some((one) => one !== counts)) return { ...state, last };
  const steps = Math.round((counts - state.base) / drop);
  if (steps === 0) return { ...state, last };
  return { count: state.count + steps, base: counts, last };
}

/** So many equal readings are a pause between two drops. */
export const PAUSE_READINGS = 3;

/** Whether announced drops and the rise disagree by more than chance: zero tracking may have swallowed the rest. */
export interface Swallowed {
  /** Mass that is missing, g; below zero where there is more than announced. */
  readonly missing: number;
  readonly limit: number;
  readonly suspected: boolean;
}

/**
 * n drops were announced: D = n m - rise is suspect above 3 sqrt(n^2 u_m^2 + n (spread m)^2 + 0.25 d^2).
 */
export function swallowed(
  count: number,
  drop: DropSize,
  rise: number,
  d: number,
  spread = DROP_SPREAD,
): Swallowed {
  const missing = count * drop.mean - rise;
  const variance = (count * drop.u) ** 2 + count * (spread * drop.mean) ** 2 + 0.25 * d ** 2;
  const limit = 3 * Math.sqrt(variance);
  return { missing, limit, suspected: missing > limit };
}
