import { describe, expect, it } from 'vitest';
import { asMade } from '../../core/record/as-made.ts';
import { readingVariance, uncertaintyOf } from '../../core/record/uncertainty.ts';
import { input, limits, lots, materials, pours } from '../unit/record/made.ts';

const DRAWS = 200_000;

/** Uniform numbers in 0..1 from a seed (a 32-bit mixing generator), so that every run draws the same. */
function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal numbers by the polar form of Box and Muller. */
function normal(seed: number): () => number {
  const next = uniform(seed);
  return () => {
    for (;;) {
      const a = 2 * next() - 1;
      const b = 2 * next() - 1;
      const r = a * a + b * b;
      if (r > 0 && r < 1) return a * Math.sqrt((-2 * Math.log(r)) / r);
    }
  };
}

class Spread {
  #n = 0;
  #mean = 0;
  #squares = 0;
  take(x: number): void {
    this.#n += 1;
    const off = x - this.#mean;
    this.#mean += off / this.#n;
    this.#squares += off * (x - this.#mean);
  }
  get deviation(): number {
    return Math.sqrt(this.#squares / (this.#n - 1));
  }
}

/** One world: every gross reading, every lot's fractions and the calibration with an error drawn anew. */
function world(draw: () => number): {
  masses: number[];
  total: number;
  strength: number;
  fractions: Map<string, number>;
} {
  const uG = Math.sqrt(readingVariance(limits));
  const gain = 1 + draw() * Number(limits.c);
  const solvents = new Set(materials.filter((one) => one.kind === 'solvent').map((one) => one.key));
  const fractionsOf = new Map(
    lots.map((lot) => {
      const w = new Map(Object.entries(lot.composition).map(([key, text]) => [key, Number(text)]));
      const takers = [...w.keys()].filter((key) => solvents.has(key) && lot.uncertainty?.[key] === undefined);
      const room = takers.reduce((sum, key) => sum + (w.get(key) ?? 0), 0);
      const shares = takers.map((key) => [key, (w.get(key) ?? 0) / room] as const);
      for (const [key, u] of Object.entries(lot.uncertainty ?? {})) {
        const error = draw() * Number(u);
        w.set(key, (w.get(key) ?? 0) + error);
        for (const [taker, share] of shares) w.set(taker, (w.get(taker) ?? 0) - error * share);
      }
      return [lot.code, w] as const;
    }),
  );
  let last = Number.NaN;
  let lastError = 0;
  const masses = pours.map((pour) => {
    const before = pour.before.toNumber() === last ? lastError : draw() * uG;
    const after = draw() * uG;
    last = pour.after.toNumber();
    lastError = after;
    return (pour.net.toNumber() + after - before) * gain;
  });
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  const fractions = new Map<string, number>();
  for (const [i, pour] of pours.entries())
    for (const [key, w] of fractionsOf.get(pour.lot) ?? [])
      fractions.set(key, (fractions.get(key) ?? 0) + (w * (masses[i] ?? 0)) / total);
  const strength = [...fractions].reduce((sum, [key, x]) => (solvents.has(key) ? sum : sum + x), 0);
  return { masses, total, strength, fractions };
}

/** Against JCGM 101:2008, propagation of distributions by Monte Carlo: the law of propagation must not differ by 2 %. */
describe('the law of propagation against 200,000 draws', () => {
  const made = asMade(input);
  const law = uncertaintyOf(input, limits, made);
  const draw = normal(20_260_131);
  const strength = new Spread();
  const total = new Spread();
  const musk = new Spread();
  const each = new Map(materials.map(({ key }) => [key, new Spread()]));
  for (let i = 0; i < DRAWS; i += 1) {
    const drawn = world(draw);
    strength.take(drawn.strength);
    total.take(drawn.total);
    musk.take(drawn.masses[2] ?? 0);
    for (const [key, x] of drawn.fractions) each.get(key)?.take(x);
  }
  const within = (drawn: number | undefined, said: number | undefined) =>
    expect(Math.abs((drawn ?? Number.NaN) / (said ?? 0) - 1)).toBeLessThan(0.02);

  it('agrees for the strength', () => within(strength.deviation, law.strength.u));
  it('agrees for the total mass', () => within(total.deviation, law.total.u));
  it('agrees for the mass of a line', () => within(musk.deviation, law.lines.get('musk')?.u));
  it.each(materials.map(({ key }) => [key]))('agrees for the fraction of %s', (key) =>
    within(each.get(key)?.deviation, law.materials.get(key)?.u),
  );
});
