import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decimal } from '../../../core/quantity/decimal.ts';
import { strengthWindow, type WindowedLine } from '../../../core/record/strength-window.ts';

const line = (target: string, half: string, neat: string): WindowedLine => ({
  target: decimal(target),
  half: decimal(half),
  neat: decimal(neat),
});

describe('the window of a strength', () => {
  it('is that of the lines: 10 ± 0.1 g neat in 90 ± 0.9 g of solvent', () => {
    const window = strengthWindow([line('10', '0.1', '1'), line('90', '0.9', '0')]);
    expect(window?.low.toNumber()).toBeCloseTo(9.9 / 100.8, 12);
    expect(window?.high.toNumber()).toBeCloseTo(10.1 / 99.2, 12);
  });

  it('is none where nothing was planned, and a point where all lots are alike', () => {
    expect(strengthWindow([])).toBeNull();
    expect(strengthWindow([line('0', '0', '1')])).toBeNull();
    const alike = strengthWindow([line('1', '0.1', '0.5'), line('2', '0.1', '0.5')]);
    expect(alike?.low.toNumber()).toBe(0.5);
    expect(alike?.high.toNumber()).toBe(0.5);
  });

  it('is what trying every edge of every window finds', () => {
    const given = fc.record({
      target: fc.integer({ min: 10, max: 5000 }),
      half: fc.integer({ min: 0, max: 300 }),
      neat: fc.integer({ min: 0, max: 100 }),
    });
    fc.assert(
      fc.property(fc.array(given, { minLength: 1, maxLength: 6 }), (all) => {
        const window = strengthWindow(
          all.map(({ target, half, neat }) => line(String(target), String(half), String(neat / 100))),
        );
        const tried: number[] = [];
        for (let edges = 0; edges < 2 ** all.length; edges += 1) {
          const masses = all.map(({ target, half }, i) =>
            Math.max(0, edges & (1 << i) ? target + half : target - half),
          );
          const total = masses.reduce((sum, mass) => sum + mass, 0);
          if (total === 0) continue;
          tried.push(masses.reduce((sum, mass, i) => sum + (mass * (all[i]?.neat ?? 0)) / 100, 0) / total);
        }
        expect(window?.low.toNumber()).toBeCloseTo(Math.min(...tried), 10);
        expect(window?.high.toNumber()).toBeCloseTo(Math.max(...tried), 10);
      }),
      { seed: 11, numRuns: 150 },
    );
  });
});
