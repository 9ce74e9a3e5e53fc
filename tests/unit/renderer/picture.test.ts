import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbersUnder } from '../../../renderer/formula/picture.tsx';

const placed = (shares: readonly number[]) =>
  numbersUnder(shares).map(({ number, at }) => [number, Number(at.toFixed(4))]);

describe('the numbers under a strip of parts', () => {
  it('stand under the middle of their parts where there is room', () => {
    expect(placed([0.5, 0.3, 0.2])).toEqual([
      [1, 0.25],
      [2, 0.65],
      [3, 0.9],
    ]);
  });

  it('make room for each other, and a part of nothing has none', () => {
    expect(placed([0, 0.001, 0.001, 0.998])).toEqual([
      [2, 0.0225],
      [3, 0.0675],
      [4, 0.501],
    ]);
    expect(placed([0.998, 0.001, 0.001])).toEqual([
      [1, 0.499],
      [2, 0.9325],
      [3, 0.9775],
    ]);
  });

  it('never lie on each other, leave the strip or change their order', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 10_000 }), { minLength: 1, maxLength: 60 }), (parts) => {
        const whole = parts.reduce((sum, one) => sum + one, 0);
        const numbers = numbersUnder(parts.map((one) => one / whole));
        const room = Math.min(0.045, 1 / parts.length);
        expect(numbers.map(({ number }) => number)).toEqual(parts.map((_, at) => at + 1));
        for (const [i, { at }] of numbers.entries()) {
          expect(at).toBeGreaterThanOrEqual(room / 2 - 1e-9);
          expect(at).toBeLessThanOrEqual(1 - room / 2 + 1e-9);
          if (i > 0) expect(at - (numbers[i - 1]?.at ?? 0)).toBeGreaterThanOrEqual(room - 1e-9);
        }
      }),
      { seed: 11, numRuns: 200 },
    );
  });
});
