/** Gives numbers from 0 up to but not including 1. */
export type Random = () => number;

/** A small seeded generator (mulberry32, public domain, from memory): the same seed gives the same numbers. */
export function seeded(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A number from the normal distribution with mean 0 and standard deviation 1 (Box and Muller). */
export function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** A number from the exponential distribution with this mean. */
export function exponential(random: Random, mean: number): number {
  return -mean * Math.log(1 - random());
}
