import { describe, expect, it } from 'vitest';
import { batchTrace, numbered, spanOf } from '../../../renderer/figures/batch-trace.ts';
import { percentText, spreadText } from '../../../renderer/figures/percent.ts';
import { askedBy } from '../../../renderer/state/finding.ts';

describe('what is typed into the search', () => {
  it.each([
    ['', {}],
    ['  rose  C50 ', { words: 'rose C50' }],
    ['2026-11-25', { from: '2026-11-25', to: '2026-11-25' }],
    ['2028-02 rose', { words: 'rose', from: '2028-02-01', to: '2028-02-29' }],
    ['2026-12 2026-11-03', { from: '2026-11-03', to: '2026-12-31' }],
    ['2026-02-30', { words: '2026-02-30' }],
    ['2026-13', { words: '2026-13' }],
  ])('"%s"', (text, asked) => expect(askedBy(text)).toEqual(asked));
});

describe('the trace of a batch', () => {
  const kept = {
    start: '2026-11-25T09:00:00.000Z',
    readings: [
      [0, '50.00'],
      [100, '50.50'],
    ] as const,
    settled: { g: '50.50', since: 100, at: 100 },
  };
  const later = { ...kept, start: '2026-11-25T09:01:00.000Z', settled: null };
  const from = Date.parse(kept.start) / 1000;

  it('is on one clock, broken off between pours, each capture at its moment', () => {
    const { at, gross, captured } = batchTrace([kept, later]);
    expect(at.map((one) => Number((one - from).toFixed(3)))).toEqual([0, 0.1, 0.101, 60, 60.1]);
    expect(gross).toEqual([50, 50.5, null, 50, 50.5]);
    expect(captured).toEqual([undefined, 50.5, undefined, undefined, undefined]);
  });

  it('holds a reading once that two traces hold', () => {
    expect(batchTrace([kept, kept]).at).toHaveLength(2);
  });

  it('numbers what disturbed it by its moments, and nothing else', () => {
    const marks = [
      { at: 10, kind: 'drop', g: '1' },
      { at: 20, kind: 'lift', g: '1' },
      { at: 30, kind: 'capture', g: '1' },
      { at: 40, kind: 'return', g: '1' },
      { at: 40, kind: 'lost', g: null },
    ];
    expect(numbered(marks).map(({ number, mark }) => [number, mark.kind])).toEqual([
      [1, 'lift'],
      [2, 'return'],
      [2, 'lost'],
    ]);
  });

  it('is shown with room at both ends', () => {
    expect(spanOf(kept)).toEqual({ min: from - 0.5, max: from + 0.6 });
  });
});

describe('a mass fraction in per cent', () => {
  it('has fixed places, and its uncertainty two digits', () => {
    expect(percentText('0.10958')).toBe('10.96 %');
    expect(percentText('0.10958', 3)).toBe('10.958 %');
    expect(spreadText('0.00036')).toBe('0.036 %');
    expect(spreadText('0.0123')).toBe('1.2 %');
    expect(spreadText('0')).toBe('0 %');
  });
});
