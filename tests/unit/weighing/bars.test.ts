import { describe, expect, it } from 'vitest';
import { equalReadings } from '../../../core/weighing/rules.ts';
import {
  byConfirmed,
  byFirst,
  byOnset,
  byRule,
  quantile,
  score,
  share,
  wrongIn,
} from '../../bench/figures.ts';
import { type Hand, pour } from '../../bench/hands.ts';
import { traces } from '../../bench/traces.ts';

/** Gross limits on few pours; the figures themselves come from tests/bench/weighing.ts. */
const TYPES = ['A', 'B', 'D'] as const;

describe('settling on simulated balances', () => {
  const made = traces(450, 314, { types: TYPES, rates: [5, 10], gap: 6 });

  it('tells a first figure as soon as five equal readings would', () => {
    const naive = score(made, byRule(equalReadings(5), 10, true));
    const ours = score(made, byFirst(10, 'cleared'));
    expect(ours.none).toBe(0);
    expect(quantile(ours.seconds, 0.5)).toBeLessThanOrEqual(quantile(naive.seconds, 0.5) + 0.05);
    expect(quantile(score(made, byFirst(10, 'hands-free')).seconds, 0.5)).toBeLessThan(1);
  });

  it.each([5, 10])(
    'confirms a better one by the next pour, at %i Hz, without being told that the pour is done',
    (hz) => {
      const naive = score(made, byRule(equalReadings(5), hz, true));
      const ours = score(made, byConfirmed(hz, 'hands-free'));
      expect(ours.none).toBe(0);
      expect(wrongIn(ours, 'quiet')).toBeLessThanOrEqual(1);
      expect(wrongIn(ours, 'normal')).toBeLessThanOrEqual(1.5);
      expect(wrongIn(ours, 'draughty')).toBeLessThanOrEqual(8);
      expect(ours.wrong).toBeLessThan(naive.wrong / 2);
      expect(share(ours.wrong3, ours.n)).toBeLessThanOrEqual(0.5);
    },
  );

  it('finds the gross before a pour that nobody announced as well as before one that was', () => {
    const some = made.slice(0, 200);
    const ours = score(some, byOnset(10));
    expect(wrongIn(ours, 'quiet')).toBeLessThanOrEqual(1);
    expect(wrongIn(ours, 'normal')).toBeLessThanOrEqual(1.5);
    expect(ours.wrong).toBeLessThanOrEqual(score(some, byConfirmed(10, 'hands-free')).wrong);
  });

  it('bears the flag of the balance and lines that come late', () => {
    const late = traces(240, 2718, { types: TYPES, rates: [10], gap: 6, flags: true, jitter: 120 });
    const ours = score(late, byConfirmed(10, 'hands-free'));
    expect(ours.none).toBe(0);
    expect(share(ours.wrong, ours.n)).toBeLessThanOrEqual(3);
  });
});

describe('simulated hands', () => {
  const run = (hand: Hand) =>
    Array.from({ length: 90 }, (_, n) =>
      pour({
        hand,
        type: TYPES[n % 3] ?? 'A',
        room: n % 2 === 0 ? 'quiet' : 'normal',
        drop: [0.015, 0.028, 0.048][Math.floor(n / 3) % 3] ?? 0.028,
        drops: 6 + (n % 15),
        hz: 10,
        seed: 1000 + n,
      }),
    );

  it('pour over by a drop far less often with the guide, in little more time', () => {
    const watching = run('watching');
    const guided = run('guided');
    const over = (all: typeof guided) => all.filter((one) => one.error > 1).length;
    const seconds = (all: typeof guided) => all.reduce((sum, one) => sum + one.seconds, 0);
    expect(over(watching)).toBeGreaterThan(5);
    expect(over(guided)).toBeLessThanOrEqual(over(watching) / 5);
    expect(seconds(guided)).toBeLessThanOrEqual(1.25 * seconds(watching));
  });
});
