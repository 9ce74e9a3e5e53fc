import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { along, laneOf, measure, ticksOf } from '../../../renderer/figures/lane.ts';

const step = { target: 4, low: 3.96, high: 4.04, drop: 0.024 };

describe('the run-in lane', () => {
  it('measures the mass still to go by the logarithm of its drops, with its sign', () => {
    expect(measure(0, 0.024)).toBe(0);
    expect(measure(0.024 * 9, 0.024)).toBeCloseTo(1, 12);
    expect(measure(-0.024 * 99, 0.024)).toBeCloseTo(-2, 12);
  });

  it('begins with all still to go and has room past the window', () => {
    const lane = laneOf(step);
    expect(along(lane, step.target)).toBe(0);
    expect(along(lane, step.target - step.low)).toBeLessThan(along(lane, 0));
    expect(along(lane, step.target - step.high)).toBeGreaterThan(along(lane, 0));
    expect(along(lane, step.target - step.high)).toBeLessThan(1);
  });

  it('gives the last drop as much room as the mass before it of the same number of drops and one', () => {
    const lane = laneOf(step);
    const last = along(lane, 0) - along(lane, step.drop);
    const before = along(lane, step.drop) - along(lane, 3 * step.drop);
    expect(last).toBeCloseTo(before, 12);
  });

  it('moves to the right whenever the mass to go falls, and never leaves the lane', () => {
    const grams = fc.double({ min: -50, max: 50, noNaN: true });
    fc.assert(
      fc.property(grams, grams, (a, b) => {
        const lane = laneOf(step);
        const [less, more] = a < b ? [a, b] : [b, a];
        expect(along(lane, less)).toBeGreaterThanOrEqual(along(lane, more));
        expect(along(lane, a)).toBeGreaterThanOrEqual(0);
        expect(along(lane, a)).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('is lengthened so that an excess stays on it', () => {
    expect(along(laneOf(step), -2)).toBe(1);
    expect(along(laneOf(step, 2), -2)).toBeLessThan(1);
  });

  it('has round ticks, far to near, that end at one drop and do not crowd', () => {
    const lane = laneOf(step);
    const ticks = ticksOf(lane, step, 0.08);
    expect(ticks.map((tick) => tick.label)).toEqual(['3 g', '1 g', '0.3', '0.1', '1 drop']);
    const places = ticks.map((tick) => along(lane, tick.toGo));
    for (const [n, place] of places.entries())
      if (n > 0) expect(place - (places[n - 1] ?? 1)).toBeGreaterThanOrEqual(0.08);
  });

  it('leaves out what is more than the target or less than a drop and a half', () => {
    const small = { target: 0.05, low: 0.04, high: 0.06, drop: 0.02 };
    expect(ticksOf(laneOf(small), small, 0.05).map((tick) => tick.label)).toEqual(['0.03', '1 drop']);
  });
});
