import { describe, expect, it } from 'vitest';
import { SHAPES } from '../../drivers/frames/shapes.ts';
import { capture } from '../unit/frames/captures.ts';
import { unaccounted, WORDS } from './conservation.ts';
import { hostileLines, randomBytes, unaccountedIn } from './hostile.ts';

/** A look at each; `node tests/faults/soak-lines.ts` goes on to a million. */
const LINES = 50_000;
const BYTES = 200_000;

describe.each(SHAPES.map((shape) => [shape.name, shape] as const))('hostile lines for %s', (name, shape) => {
  it('has an account of every weight of its own capture', () => {
    for (const { line } of capture(name)) expect([line, unaccountedIn(shape, line)]).toEqual([line, null]);
  });

  it(`gives no mass that the line does not account for, in ${LINES} mutated lines`, () => {
    const { survivors, weights } = hostileLines(shape, LINES, 4);
    expect(survivors).toEqual([]);
    expect(weights).toBeGreaterThan(LINES / 1000);
  });
});

describe('the account itself', () => {
  const words = WORDS['comma-headed'] ?? { heads: [], units: {}, moving: /^$/, resting: null };
  const weight = (figure: string, unit: string, stable: boolean) =>
    ({ kind: 'weight', figure, unit, stable }) as const;
  it.each([
    ['ST,+00012.34  g', weight('12.3', 'g', true), 'digits'],
    ['ST,+00012.34  g', weight('1.234', 'g', true), 'decimals'],
    ['ST,-00012.34  g', weight('12.34', 'g', true), 'sign'],
    ['ST,+00012.34 kg', weight('12.34', 'g', true), 'unit'],
    ['US,+00012.34  g', weight('12.34', 'g', true), 'called stable'],
    ['ST,+00012.34 xg', weight('12.34', 'g', true), 'unit'],
    ['ST,+00012.34\x07 g', weight('12.34', 'g', true), 'not printable'],
  ] as const)('sees through %j read wrongly', (line, meaning, why) => {
    expect(unaccounted(line, meaning, words)).toContain(why);
  });
});

describe('random bytes', () => {
  it('go through framer and every shape without a crash and without a weight', () => {
    expect(randomBytes(BYTES, 9)).toEqual([]);
  });
});
