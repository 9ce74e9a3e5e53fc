import { describe, expect, it } from 'vitest';
import {
  blendDrop,
  countable,
  countByRise,
  countFrom,
  countReading,
  type DropCount,
  inDrops,
  learnDrop,
  swallowed,
} from '../../../core/weighing/drops.ts';

const D = 0.01;

describe('learning a drop from a stated count', () => {
  it('is the rise over the count, with the uncertainty of two readings and of the drops themselves', () => {
    const { mean, u } = learnDrop(0.28, 10, D);
    expect(mean).toBeCloseTo(0.028, 12);
    expect(u).toBeCloseTo(Math.sqrt((2 * 0.0035 ** 2) / 100 + (0.08 * 0.028) ** 2 / 10), 12);
  });

  it('knows it better from more drops', () => {
    expect(learnDrop(0.56, 20, D).u).toBeLessThan(learnDrop(0.14, 5, D).u);
  });

  it.each([0, -1, 2.5, Number.NaN])('refuses %s as a count', (count) => {
    expect(() => learnDrop(0.28, count, D)).toThrow(RangeError);
  });

  it.each([0, -0.03, Number.NaN])('refuses a rise of %s g', (rise) => {
    expect(() => learnDrop(rise, 5, D)).toThrow(/above zero/);
  });
});

describe('a drop with a history', () => {
  it('given none, then what was learnt stands, known to 5 % at best', () => {
    expect(blendDrop(null, { mean: 0.03, u: 0.0001 })).toEqual({ mean: 0.03, u: 0.0015 });
  });

  it('given one, then both are weighed by their variances', () => {
    const { mean } = blendDrop({ mean: 0.03, u: 0.003 }, { mean: 0.027, u: 0.0015 });
    expect(mean).toBeCloseTo(
      (0.03 / 0.003 ** 2 + 0.027 / 0.0015 ** 2) / (1 / 0.003 ** 2 + 1 / 0.0015 ** 2),
      9,
    );
  });

  it('given a history that claims too much, then it counts with 5 % and can still be moved', () => {
    const { mean } = blendDrop({ mean: 0.03, u: 1e-6 }, { mean: 0.027, u: 0.0015 });
    expect(mean).toBeLessThan(0.0286);
  });

  it('given another pipette, then the history does not hold it back', () => {
    expect(blendDrop({ mean: 0.017, u: 0.001 }, { mean: 0.045, u: 0.002 }).mean).toBe(0.045);
  });
});

describe('a mass in drops', () => {
  it('tells a whole count where it is sure', () => {
    expect(inDrops(0.086, 0.005, { mean: 0.028, u: 0.0014 }, D).exact).toBe(3);
  });

  it('tells only about how many where the count is unsure', () => {
    const many = inDrops(0.56, 0.005, { mean: 0.028, u: 0.0014 }, D);
    expect(many.drops).toBeCloseTo(20, 9);
    expect(many).toMatchObject({ exact: null });
    expect(many.u).toBeGreaterThan(0.5);
  });

  it('never counts drops of less than two display steps', () => {
    const small = { mean: 0.0199, u: 0.0001 };
    expect(countable(small, D)).toBe(false);
    expect(inDrops(0.0199, 0.0001, small, D).exact).toBeNull();
    expect(countable({ mean: 0.02, u: 0.001 }, D)).toBe(true);
  });

  it('counts a rise between two readings at rest', () => {
    expect(countByRise(0.14, { mean: 0.028, u: 0.001 }, D).exact).toBe(5);
  });

  it('refuses a drop without mass', () => {
    expect(() => inDrops(1, 0, { mean: 0, u: 0 }, D)).toThrow(RangeError);
  });
});

describe('steps in the stream', () => {
  const drop = 2.8;
  const feed = (state: DropCount, ...counts: readonly number[]): DropCount =>
    counts.reduce((all, one) => countReading(all, one, drop), state);
  const pause = (at: number): number[] => [at, at, at, at];

  it('given pauses on the ladder of drops, then each is one', () => {
    const state = feed(countFrom(100), ...pause(100), 101, ...pause(103), 104, ...pause(106), ...pause(108));
    expect(state.count).toBe(3);
  });

  it('given two drops in one step, then they are two', () => {
    expect(feed(countFrom(100), 102, 104, ...pause(106)).count).toBe(2);
  });

  it('given a draught that passes, then the count is what it was', () => {
    expect(feed(countFrom(100), ...pause(103), ...pause(105), ...pause(103)).count).toBe(1);
  });

  it('given the unrest of a room, then nothing is counted', () => {
    expect(feed(countFrom(100), ...pause(101), ...pause(99), ...pause(100), ...pause(101)).count).toBe(0);
  });

  it('given drops that are a tenth larger than thought, then twelve are still twelve', () => {
    let state = countFrom(0);
    for (let n = 1; n <= 12; n++) state = feed(state, ...pause(Math.round(3.1 * n)));
    expect(state.count).toBe(12);
  });
});

describe('drops that the zero tracking swallowed', () => {
  const drop = { mean: 0.028, u: 0.0014 };

  it('given ten drops and a rise of six, then it is suspected', () => {
    const found = swallowed(10, drop, 0.168, D);
    expect(found.suspected).toBe(true);
    expect(found.missing).toBeCloseTo(0.112, 9);
  });

  it('given the rise that ten drops make, more or less, then it is not', () => {
    expect(swallowed(10, drop, 0.26, D).suspected).toBe(false);
    expect(swallowed(10, drop, 0.35, D).suspected).toBe(false);
  });
});
