import { describe, expect, it } from 'vitest';
import { roundSpan, traceLine } from '../../../renderer/figures/trace-line.ts';
import { TRACE_SPAN, withPoint } from '../../../renderer/state/trace.ts';

const box = { width: 300, height: 50 };

describe('the trace of readings', () => {
  it('keeps the last thirty seconds', () => {
    let points = [{ at: 0, g: 1 }];
    for (let at = 50; at <= 40_000; at += 50) points = withPoint(points, { at, g: 1 });
    expect(points[0]?.at).toBe(40_000 - TRACE_SPAN);
    expect(points.length).toBe(TRACE_SPAN / 50 + 1);
  });

  it('begins anew after a long silence and after a clock set back', () => {
    expect(withPoint([{ at: 0, g: 1 }], { at: 60_000, g: 2 })).toEqual([{ at: 60_000, g: 2 }]);
    expect(withPoint([{ at: 500, g: 1 }], { at: 100, g: 2 })).toEqual([{ at: 100, g: 2 }]);
  });

  it('is drawn as steps from the left edge to the last reading', () => {
    const line = traceLine(
      [
        { at: 0, g: 10 },
        { at: 15_000, g: 11 },
        { at: 30_000, g: 11 },
      ],
      box,
      30_000,
      0.2,
    );
    expect(line?.path).toBe('M0.0 50.0H150.0V0.0H300');
    expect([line?.low, line?.high]).toEqual([10, 11]);
  });

  it('draws a hair of noise in the middle and not over the whole height', () => {
    const line = traceLine(
      [
        { at: 0, g: 61.48 },
        { at: 1000, g: 61.49 },
      ],
      box,
      30_000,
      0.2,
    );
    expect((line?.high ?? 0) - (line?.low ?? 0)).toBeCloseTo(0.2, 9);
    expect(line?.low).toBeLessThan(61.45);
    expect(line?.high).toBeGreaterThan(61.52);
  });

  it('has nothing to draw before the first reading', () => {
    expect(traceLine([], box, 30_000, 0.2)).toBeNull();
  });

  it('rounds a span up to a plain figure', () => {
    expect([0.2, 0.21, 1, 1.2, 8, 61.5].map(roundSpan).map((one) => Number(one.toPrecision(6)))).toEqual([
      0.2, 0.3, 1, 1.5, 10, 70,
    ]);
  });
});
