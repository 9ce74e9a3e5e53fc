import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type GuidanceFrom, guide, stopLead } from '../../../core/weighing/guidance.ts';
import { predict } from '../../../core/weighing/prediction.ts';

const from = (more: Partial<GuidanceFrom>): GuidanceFrom => {
  const toGo = more.toGo ?? 1;
  return {
    toGo,
    low: toGo - 0.01,
    high: toGo + 0.01,
    d: 0.01,
    drop: { mean: 0.028, u: 0.0014 },
    rate: 0,
    lag: 0.4,
    hz: 10,
    atRest: false,
    ...more,
  };
};

describe('the cue', () => {
  it('far from the aim is to pour freely', () => {
    expect(guide(from({ toGo: 5, rate: 0.3 })).phase).toBe('stream');
  });

  it('slows some drops before it pauses', () => {
    const phases = [12, 11, 10, 9, 8, 7, 6, 5, 4, 3].map(
      (n) => guide(from({ toGo: 0.028 * n, rate: 0.03 })).phase,
    );
    expect(phases[0]).toBe('stream');
    expect(phases).toContain('slow');
    expect(phases.at(-1)).toBe('pause');
    expect(phases.indexOf('slow')).toBeLessThan(phases.indexOf('pause'));
  });

  it('comes ahead of the lag: what a stream will still bring is taken off', () => {
    const rate = 0.5;
    const lead = rate * stopLead(0.4, 10);
    expect(lead).toBeCloseTo(0.5 * (0.4 + 0.05 + 0.3 + 0.12), 12);
    expect(guide(from({ toGo: lead * 0.99, rate })).phase).toBe('stop');
    expect(guide(from({ toGo: lead * 0.99, rate: 0 })).phase).not.toBe('stop');
  });

  it('tells the mass that is poured but not yet shown', () => {
    expect(guide(from({ rate: 0.1 })).inFlight).toBeCloseTo(0.045, 9);
    expect(guide(from({ rate: 0 })).inFlight).toBe(0);
  });

  it('gives an exact count from a reading at rest', () => {
    expect(guide(from({ toGo: 0.085, atRest: true }))).toMatchObject({ phase: 'count', drops: 3 });
  });

  it('rounds down rather than over the aim', () => {
    expect(guide(from({ toGo: 2.6 * 0.028, atRest: true })).drops).toBe(2);
    expect(guide(from({ toGo: 2.75 * 0.028, atRest: true })).drops).toBe(3);
  });

  it('never gives a count for drops that the display cannot tell apart', () => {
    const small = guide(from({ toGo: 0.045, drop: { mean: 0.015, u: 0.001 }, atRest: true }));
    expect(small).toMatchObject({ phase: 'touch-off', drops: null, about: null });
  });

  it('gives no number where the drop is badly known', () => {
    const unsure = guide(from({ toGo: 0.112, drop: { mean: 0.028, u: 0.007 }, atRest: true }));
    expect(unsure).toMatchObject({ phase: 'count', drops: null, about: 4 });
  });

  it('asks for less than a drop where one would leave the window', () => {
    expect(guide(from({ toGo: 0.015, low: 0.005, high: 0.025, atRest: true })).phase).toBe('touch-off');
  });

  it('says stop inside the window and beyond it', () => {
    expect(guide(from({ toGo: 0.005, atRest: true })).phase).toBe('stop');
    expect(guide(from({ toGo: -0.2, atRest: true })).phase).toBe('stop');
    expect(guide(from({ toGo: -0.2 })).phase).toBe('stop');
  });

  it('never tells a count while mass is in flight, whatever the rest', () => {
    const mass = fc.double({ min: -1, max: 5, noNaN: true });
    const rate = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        mass,
        rate,
        (toGo, flow) => guide(from({ toGo, rate: flow, atRest: false })).drops === null,
      ),
    );
  });

  it('never tells a count that would leave the window by more than the drop it rounds', () => {
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1, noNaN: true }), (toGo) => {
        const { drops } = guide(from({ toGo, atRest: true }));
        return drops === null || drops * 0.028 <= toGo + 0.7 * 0.028 + 1e-12;
      }),
    );
  });
});

describe('where it will settle', () => {
  const rise = (...counts: readonly number[]) =>
    counts.map((c, n) => ({ c, g: (c / 100).toFixed(2), at: n * 100 }));

  it('lies ahead of a rising reading, with a band', () => {
    const mark = predict({ seen: rise(100, 101, 103, 105), d: 0.01, lag: 0.5 });
    expect(mark?.g).toBeGreaterThan(1.05);
    expect(mark?.band).toBeGreaterThan(0.01);
  });

  it('is not told once the reading rests: then it speaks for itself', () => {
    expect(predict({ seen: rise(100, 103, 105, 105, 105, 105), d: 0.01, lag: 0.3 })).toBeNull();
  });

  it('is not told from one reading', () => {
    expect(predict({ seen: rise(100), d: 0.01, lag: 0.3 })).toBeNull();
    expect(predict({ seen: [], d: 0.01, lag: 0.3 })).toBeNull();
  });

  it('lies on the ladder of drops where it is known', () => {
    const mark = predict({ seen: rise(100, 101, 103), d: 0.01, lag: 0.3, ladder: { base: 100, drop: 5 } });
    expect(mark?.g).toBeCloseTo(1.05, 9);
  });
});
