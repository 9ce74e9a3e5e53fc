import { describe, expect, it } from 'vitest';
import { closingCheck, type JumpContext, jumpOf, slopeOf } from '../../../core/weighing/drift.ts';

const D = 0.01;
const line = (seconds: number, gPerMin: number) =>
  Array.from({ length: seconds }, (_, n) => ({ g: 40 + (gPerMin * n) / 60, at: 1000 * n }));

describe('a slope over a pause', () => {
  it('is measured with the uncertainty that the pause allows', () => {
    const slope = slopeOf(line(61, -0.006), D);
    expect(slope?.gPerMin).toBeCloseTo(-0.006, 9);
    /* 60 s give about 0.15 d a minute, 120 s about 0.05. */
    expect((slope?.u ?? 0) / D).toBeCloseTo(0.15, 2);
    expect((slopeOf(line(121, 0), D)?.u ?? 0) / D).toBeCloseTo(0.05, 2);
  });

  it('is not told from a short pause', () => {
    expect(slopeOf(line(15, -0.006), D)).toBeNull();
    expect(slopeOf([], D)).toBeNull();
  });
});

describe('the closing check', () => {
  const close = (gross: number, minutes: number) => closingCheck({ gross, start: 30, nets: 10 }, D, minutes);

  it('allows two steps, and half a step a minute', () => {
    expect(close(40.02, 0)).toMatchObject({ passes: true });
    expect(close(40.03, 0)).toMatchObject({ passes: false });
    expect(close(39.93, 10)).toMatchObject({ passes: true });
    expect(close(39.92, 10)).toMatchObject({ passes: false });
    expect(close(39.95, 4).closure).toBeCloseTo(-0.05, 9);
  });
});

describe('what a jump was', () => {
  const jump = (more: Partial<JumpContext>) =>
    jumpOf({ from: 40, to: 40, ms: 800, furthest: 0, d: D, vessel: 30, pan: 0, pouring: false, ...more });

  it.each([
    ['nothing', {}, 'none'],
    ['a draught that passed', { furthest: 0.05 }, 'none'],
    ['a knock', { furthest: 1.2 }, 'knock'],
    ['the vessel off the pan', { to: -0.01, furthest: -40.01 }, 'lifted'],
    ['the vessel back where it was', { furthest: -40 }, 'returned'],
    ['the vessel back from an empty pan', { from: 0, to: 40.02, furthest: 40.02 }, 'returned'],
    ['a display set to zero', { to: 0, ms: 100, furthest: -40 }, 're-zeroed'],
    ['a pour', { to: 40.5, pouring: true, furthest: 0.5 }, 'poured'],
    ['mass that nobody announced', { to: 40.5, furthest: 0.5 }, 'added'],
    ['something taken out', { to: 39.2, furthest: -0.8 }, 'taken'],
  ] as const)('tells %s', (_, context, what) => {
    expect(jump(context)).toBe(what);
  });
});
