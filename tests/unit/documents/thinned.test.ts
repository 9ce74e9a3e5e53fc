import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thinned } from '../../../electron/host/documents/thinned.ts';

const trace = (masses: readonly number[]) => masses.map((g, i) => ({ at: 1000 + i * 50, g: g.toFixed(2) }));

describe('a trace thinned to what paper shows', () => {
  it('leaves a short one as it is', () => {
    const short = trace([1, 2, 3]);
    expect(thinned(short, 10)).toBe(short);
  });

  it('keeps ends, lowest and highest of every strip, invents nothing and stays in order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 50, maxLength: 400 }),
        fc.integer({ min: 1, max: 12 }),
        (hundredths, strips) => {
          const all = trace(hundredths.map((one) => one / 100));
          const kept = thinned(all, strips);
          const masses = (of: typeof all) => of.map((one) => Number(one.g));
          expect(kept.length).toBeLessThanOrEqual(Math.max(strips * 4, 1));
          expect(kept[0]).toBe(all[0]);
          expect(kept.at(-1)).toBe(all.at(-1));
          expect(kept.every((one) => all.includes(one))).toBe(true);
          expect(kept.every((one, i) => i === 0 || (kept[i - 1]?.at ?? 0) < one.at)).toBe(true);
          expect(Math.min(...masses([...kept]))).toBe(Math.min(...masses(all)));
          expect(Math.max(...masses([...kept]))).toBe(Math.max(...masses(all)));
        },
      ),
      { seed: 7, numRuns: 100 },
    );
  });

  it('makes ten minutes at 20 Hz at most four readings a strip, with a knock of one reading in it', () => {
    const all = trace(Array.from({ length: 12_000 }, (_, i) => (i === 7777 ? 99 : i / 1000)));
    const kept = thinned(all, 480);
    expect(kept.length).toBeLessThanOrEqual(1920);
    expect(kept).toContain(all[7777]);
  });
});
