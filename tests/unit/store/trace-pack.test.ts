import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packTrace, type Trace, unpackTrace } from '../../../electron/host/store/trace-pack.ts';

const START = '2026-11-25T09:00:00.000Z';

/** Numbers that repeat from run to run. */
function* numbers(seed: number): Generator<number, never> {
  let state = seed;
  for (;;) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state / 2 ** 32;
  }
}

/** A pour of `count` readings at 20 Hz: times uneven by up to 8 ms, drops of 2 to 3 counts, noise of one count. */
function pour(count: number, random: Generator<number, never>): Trace {
  let counts = 5000;
  const readings = Array.from({ length: count }, (_, i): readonly [number, string] => {
    if (random.next().value < 0.05) counts += random.next().value < 0.5 ? 2 : 3;
    const noise = Math.floor(random.next().value * 3) - 1;
    const jitter = Math.floor(random.next().value * 17) - 8;
    return [Math.max(0, i * 50 + jitter), ((counts + noise) / 100).toFixed(2)];
  });
  return { start: START, readings };
}

describe('a packed trace', () => {
  it('gives every reading back to the letter', () => {
    const decimals = fc.integer({ min: 0, max: 4 });
    const readings = decimals.chain((d) =>
      fc
        .array(fc.tuple(fc.integer({ min: -5, max: 100_000 }), fc.integer({ min: -30_000, max: 30_000 })), {
          maxLength: 200,
        })
        .map((list) => list.map(([at, count]) => [at, (count / 10 ** d).toFixed(d)] as const)),
    );
    fc.assert(
      fc.property(readings, (list) => {
        const trace: Trace = { start: START, readings: list };
        expect(unpackTrace(packTrace(trace))).toEqual(trace);
      }),
    );
  });

  it.each([
    ['a time that is no whole ms', [[0.25, '1.00']]],
    [
      'figures of different digits',
      [
        [0, '1.00'],
        [50, '1.000'],
      ],
    ],
    ['a zero with a sign', [[0, '-0.00']]],
    ['a figure with leading zeros', [[0, '001.00']]],
    ['more digits than a number holds', [[0, '1.0000000000000000000000001']]],
    ['nothing', []],
  ] as [string, Trace['readings']][])('keeps %s', (_, readings) => {
    const trace = { start: START, readings };
    expect(unpackTrace(packTrace(trace))).toEqual(trace);
  });

  it('refuses what it did not pack', () => {
    expect(() => unpackTrace(Buffer.of(7, 1, 2))).toThrow('kind 7');
    expect(() => unpackTrace(Buffer.alloc(0))).toThrow('kind none');
    const packed = packTrace(pour(100, numbers(3)));
    expect(() => unpackTrace(packed.subarray(0, packed.length - 40))).toThrow();
  });

  it('keeps a full day at 20 Hz, of uneven times and a restless last digit, in under 5 MB', () => {
    const random = numbers(2026);
    const EACH = 600;
    let bytes = 0;
    let readings = 0;
    while (readings < 24 * 3600 * 20) {
      bytes += packTrace(pour(EACH, random)).length;
      readings += EACH;
    }
    console.log(`24 h at 20 Hz: ${readings} readings, ${(bytes / 1e6).toFixed(2)} MB packed`);
    expect(bytes).toBeLessThan(5_000_000);
  });
});
