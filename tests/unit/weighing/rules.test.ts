import { describe, expect, it } from 'vitest';
import { blank, equalReadings, type Rule, withinOneStep } from '../../../core/weighing/rules.ts';
import { reading } from './stream.ts';

const run = (rule: Rule, ...figures: readonly string[]): (string | null)[] => {
  let state = blank;
  return figures.map((g, n) => {
    const took = rule.take(state, reading(g, 100 * n));
    state = took.state;
    return took.g;
  });
};

describe('naive rules', () => {
  it('equal readings: the last three are the same', () => {
    expect(run(equalReadings(3), '1.00', '1.01', '1.01', '1.01', '1.02')).toEqual([
      null,
      null,
      null,
      '1.01',
      null,
    ]);
  });

  it('one step over a time: needs the whole time', () => {
    const figures = [...Array.from({ length: 10 }, () => '1.00'), '1.01', '1.02'];
    const took = run(withinOneStep(1, 0.01), ...figures);
    expect(took.slice(0, 10).every((g) => g === null)).toBe(true);
    expect(took[10]).toBe('1.01');
    expect(took[11]).toBeNull();
  });
});
