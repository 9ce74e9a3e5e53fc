import { describe, expect, it } from 'vitest';
import type { Reading } from '../../../core/weighing/reading.ts';
import { EQUAL_FOR_MS, EQUAL_READINGS, settle, type SettlingState, unsettled } from '../../../core/weighing/settling.ts';

const reading = (g: string, at: number, stable: boolean | null = null): Reading => ({
  kind: 'weight',
  g,
  figure: g,
  digits: 2,
  unit: 'g',
  stable,
  at,
});

const after = (readings: readonly Reading[]): SettlingState => readings.reduce(settle, unsettled);
const run = (g: string, count: number, every: number, from = 0, stable: boolean | null = null): Reading[] =>
  Array.from({ length: count }, (_, n) => reading(g, from + n * every, stable));

describe('settled', () => {
  it('needs the count of equal readings', () => {
    expect(after(run('1.00', EQUAL_READINGS - 1, 400)).settled).toBeNull();
    expect(after(run('1.00', EQUAL_READINGS, 400)).settled).toMatchObject({ g: '1.00', readings: EQUAL_READINGS });
  });

  it('needs the time too, so that a fast balance is not read sooner than a slow one', () => {
    const fast = 50;
    const count = Math.floor(EQUAL_FOR_MS / fast);
    expect(after(run('1.00', count, fast)).settled).toBeNull();
    expect(after(run('1.00', count + 1, fast)).settled).not.toBeNull();
  });

  it('starts anew at every other figure', () => {
    expect(after([...run('1.00', 4, 200), reading('1.01', 800), ...run('1.00', 4, 200, 1000)]).settled).toBeNull();
  });

  it('does not believe equal figures that the balance itself calls moving', () => {
    expect(after(run('1.00', 20, 100, 0, false)).settled).toBeNull();
  });

  it('does not join readings over a silence', () => {
    expect(after([...run('1.00', 4, 200), ...run('1.00', 4, 200, 5000)]).settled).toBeNull();
  });

  it('stays one and the same while the figure rests, and falls with the first that differs', () => {
    const first = after(run('1.00', 10, 100));
    const later = settle(first, reading('1.00', 1000));
    expect(later.settled).toBe(first.settled);
    expect(settle(later, reading('1.02', 1100)).settled).toBeNull();
  });

  it('keeps a bounded run', () => {
    expect(after(run('1.00', 5000, 50)).run.length).toBeLessThanOrEqual(200);
  });
});
