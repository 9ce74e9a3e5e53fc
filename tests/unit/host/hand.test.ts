import { describe, expect, it } from 'vitest';
import type { Reading } from '../../../core/weighing/reading.ts';
import { lead, type Movement, moved, paceOf, rateOf } from '../../../electron/host/hand.ts';

const D = 0.01;
const reading = (g: number, at: number): Reading => ({
  kind: 'weight',
  g: g.toFixed(2),
  figure: g.toFixed(2),
  digits: 2,
  unit: 'g',
  stable: null,
  at,
});
/** Ten readings a second for `seconds`, from 50 g on, at `rate` g/s. */
const poured = (rate: number, seconds: number): Movement => {
  let movement: Movement = [];
  for (let n = 0; n <= seconds * 10; n += 1)
    movement = moved(movement, reading(50 + (rate * n) / 10, n * 100), D);
  return movement;
};

describe('the hand', () => {
  it('pours as fast as the readings rise, and never backwards', () => {
    expect(rateOf(poured(0.5, 3), D)).toBeCloseTo(0.5, 1);
    expect(rateOf(poured(0, 3), D)).toBe(0);
    expect(rateOf(poured(-2, 3), D)).toBe(0);
    expect(rateOf([], D)).toBe(0);
  });

  it('is watched over a bounded time, at the pace of the balance', () => {
    expect(poured(0.1, 60).length).toBeLessThan(30);
    expect(paceOf(poured(0.1, 3))).toBeCloseTo(10, 5);
  });

  it('is stopped ahead of the lag: what is on its way counts', () => {
    const from = { low: 0.3, high: 0.5, d: D, drop: { mean: 0.025, u: 0.002 }, atRest: false, before: 50 };
    expect(lead(poured(0.5, 3), { ...from, toGo: 0.4 }).guidance.phase).toBe('stop');
    expect(lead(poured(0.5, 3), { ...from, toGo: 4, low: 3.9, high: 4.1 }).guidance.phase).toBe('stream');
  });

  it('is shown where it will settle only while the reading moves', () => {
    const from = { toGo: 1, low: 0.9, high: 1.1, d: D, drop: { mean: 0.012, u: 0.002 }, before: 50 };
    const mark = lead(poured(0.3, 2), { ...from, atRest: false }).prediction;
    expect(mark?.g ?? 0).toBeGreaterThan(50.6);
    expect(lead(poured(0, 2), { ...from, atRest: true }).prediction).toBeNull();
  });
});
