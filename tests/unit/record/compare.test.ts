import { describe, expect, it } from 'vitest';
import { compare } from '../../../core/record/compare.ts';
import { buildRecord } from '../../../core/record/record.ts';
import { recallShares } from '../../../core/record/summary.ts';
import { captured, facts, settled, stored, wholeBatch } from './batch.ts';

/** 20 g without an overpour: rose 2.00, cedar 4.00, ethanol 14.00. */
const plain = buildRecord(
  stored([
    { type: 'started', ...facts },
    { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
    captured(1, 'rose', 'R10', ['50.00', '52.00'], '2.00'),
    captured(2, 'cedar', 'C50', ['52.00', '56.00'], '4.00'),
    captured(3, 'ethanol', 'E96', ['56.00', '70.00'], '14.00'),
    { type: 'closed', gross: '70.00', closure: '0.00', settled: settled('70.00') },
  ]),
);
const whole = buildRecord(stored(wholeBatch));

describe('two batches side by side', () => {
  it('shows each figure of both, the difference, and whether it is more than their uncertainties', () => {
    const found = compare(plain, whole);
    expect(found.sameFormula).toBe(true);
    /* 22.20 g against 20.00 g; both uncertainties are some hundredths of a gram. */
    expect(found.total).toEqual({ a: '20.00', b: '22.20', difference: '2.2', apart: true });
    /* Scaled by 1.11 throughout: the strength is that of the other batch. */
    expect(found.strength.apart).toBe(false);
    const rose = found.lines.find((one) => one.line === 'rose');
    expect(rose).toMatchObject({ title: 'rose line', a: '2.00', b: '2.22', difference: '0.22', apart: true });
    expect(found.lots).toEqual({ both: ['R10', 'C50', 'E96'], onlyA: [], onlyB: [] });
  });

  it('finds no difference between a batch and itself', () => {
    const found = compare(whole, whole);
    expect(found.strength.difference).toBe('0');
    expect(found.composition.every((one) => one.difference === '0' && one.apart === false)).toBe(true);
  });

  it('keeps a line, a material or a lot that one batch alone has', () => {
    const other = structuredClone(whole);
    other.asMade.composition = other.asMade.composition.filter((one) => one.material !== 'cedar');
    other.asMade.lots = [{ lot: 'X', name: 'X', mass: '1' }];
    const found = compare(whole, other);
    const cedar = found.composition.find((one) => one.material === 'cedar');
    expect(cedar).toMatchObject({ b: null, difference: null, apart: null });
    expect(found.lots).toEqual({ both: [], onlyA: ['R10', 'C50', 'E96'], onlyB: ['X'] });
  });
});

describe('where a lot went', () => {
  /* 10 % of R in batch 1, which became D; 20 % of D in batch 2, with 5 % of R beside it; batch 2 became E, all of 3. */
  const uses = [
    { batch: '1', lot: 'R', share: '0.1' },
    { batch: '1', lot: 'S', share: '0.9' },
    { batch: '2', lot: 'D', share: '0.2' },
    { batch: '2', lot: 'R', share: '0.05' },
    { batch: '2', lot: 'S', share: '0.75' },
    { batch: '3', lot: 'E', share: '1' },
    { batch: '4', lot: 'S', share: '1' },
  ];
  const made = [
    { lot: 'D', batch: '1' },
    { lot: 'E', batch: '2' },
  ];

  it('adds what came directly and what came through dilutions', () => {
    const shares = recallShares('R', uses, made);
    expect([...shares].map(([batch, share]) => [batch, share.toFixed()])).toEqual([
      ['1', '0.1'],
      ['2', '0.07'],
      ['3', '0.07'],
    ]);
    expect(recallShares('S', uses, made).get('3')?.toFixed()).toBe('0.93');
  });

  it('refuses bottles that are made of themselves', () => {
    expect(() =>
      recallShares('R', [{ batch: '1', lot: 'D', share: '1' }], [{ lot: 'D', batch: '1' }]),
    ).toThrow('batch 1 is made from itself');
  });
});
