import { describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { asMade } from '../../../core/record/as-made.ts';
import { closureOf } from '../../../core/record/closure.ts';
import { estimatesOf } from '../../../core/record/estimates.ts';
import { madeLot } from '../../../core/record/made-lot.ts';
import { pouredOf } from '../../../core/record/pours.ts';
import { asMadeInput } from '../../../core/record/record.ts';
import { uncertaintyOf } from '../../../core/record/uncertainty.ts';
import { captured, facts, settled, stored, wholeBatch } from './batch.ts';
import { input, limits, materials } from './made.ts';

const closed = (gross: string, closure: string): PourEvent => ({
  type: 'closed',
  gross,
  closure,
  settled: settled(gross),
});
const closingAt = (gross: string, closure: string) =>
  closureOf(pouredOf(stored([...wholeBatch.slice(0, -1), closed(gross, closure)])), facts.balance.limits);

describe('the closure', () => {
  it('of one run of readings is held against the closing reading and the last: 2 x 0.005 g', () => {
    const found = closingAt('72.19', '-0.01');
    expect(found?.limit.toFixed(4)).toBe('0.0100');
    expect(found?.verdict).toBe('within');
  });

  it('is not held tighter than a step of the display', () => {
    const fine = { ...facts.balance.limits, s: '0.001', d: '0.01' };
    expect(closureOf(pouredOf(stored(wholeBatch)), fine)?.limit.gte('0.01')).toBe(true);
  });

  it('that lost mass says how much an hour would have gone, and claims no cause', () => {
    const found = closingAt('72.08', '-0.12');
    expect(found?.verdict).toBe('lost');
    /* The first capture is at second 3, the end at second 15: shorter than a minute has no rate. */
    expect(found?.text).toBe('0.12 g less than was poured: it evaporated, or something left the vessel.');
    const events = stored([...wholeBatch.slice(0, -1), closed('72.08', '-0.12')]);
    const late = events.map((event) =>
      event.n === events.length ? { ...event, at: '2026-01-31T10:30:03.000Z' } : event,
    );
    expect(closureOf(pouredOf(late), facts.balance.limits)?.text).toContain(
      'in 60 min open (0.12 g an hour)',
    );
  });

  it('that gained mass says so', () => {
    expect(closingAt('72.30', '0.10')).toMatchObject({
      verdict: 'gained',
      text: expect.stringContaining('0.10 g more'),
    });
  });

  it('is held wider where the display was re-tared between two pours', () => {
    const events: PourEvent[] = [
      { type: 'started', ...facts },
      { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
      captured(1, 'rose', 'R10', ['50.00', '52.00'], '2.00'),
      { type: 're-zeroed', from: '52.00', to: '0.00' },
      captured(2, 'cedar', 'C50', ['0.00', '4.00'], '4.00'),
      closed('4.00', '0.00'),
    ];
    const limit = closureOf(pouredOf(stored(events)), facts.balance.limits)?.limit;
    expect(limit?.toFixed(6)).toBe((2 * Math.sqrt(4 * (0.005 ** 2 / 2))).toFixed(6));
  });

  it('of an open batch is not there', () => {
    expect(closureOf(pouredOf(stored(wholeBatch.slice(0, -1))), facts.balance.limits)).toBeNull();
  });
});

describe('estimates', () => {
  const one = (material: string, fraction: string) => ({
    material,
    name: material,
    fraction: new Decimal(fraction),
  });

  it('of ethanol and water alone are those of the table: 96 % vol is 0.938384 by mass', () => {
    /* OIML R 22, Table IVa: 807.42 kg/m3 at 96 % vol. */
    const found = estimatesOf([one('ethanol', '0.938384'), one('water', '0.061616')], [], new Decimal(100));
    expect(found?.density.toFixed(4)).toBe('0.8074');
    expect(found?.ethanolByVolume.toFixed(4)).toBe('0.9600');
    expect(found?.volume.toFixed(2)).toBe('123.85');
    expect(found?.assumed).toEqual([]);
  });

  it('add the volume of oils, and name those whose density was taken', () => {
    const described = [{ ...facts.materials[0], key: 'rose', density: '0.9' }].map((rose) => ({
      ...rose,
      name: 'Rose',
      note: null,
      family: 'florals',
      kind: 'neat' as const,
    }));
    const found = estimatesOf([one('rose', '0.45'), one('musk', '0.55')], described, new Decimal(1));
    expect(found?.volume.toFixed(6)).toBe((0.45 / 0.9 + 0.55 / 0.95).toFixed(6));
    expect(found?.assumed).toEqual(['musk']);
    expect(found?.ethanolByVolume.toFixed()).toBe('0');
  });

  it('of nothing are not there', () => {
    expect(estimatesOf([], [], new Decimal(0))).toBeNull();
  });
});

describe('the lot a batch becomes', () => {
  const made = asMade(input);
  const lot = madeLot(made, uncertaintyOf(input, limits, made), { code: 'N1', name: 'New', batch: 'b9' });

  it('has fractions that sum to exactly one, and points at its record', () => {
    const sum = Object.values(lot.composition).reduce((total, text) => total.plus(text), new Decimal(0));
    expect(sum.toFixed()).toBe('1');
    expect(Object.keys(lot.composition)).toEqual(materials.map((material) => material.key));
    expect(lot.madeBy).toBe('b9');
    expect(lot.stock).toBe('21.2');
  });

  it('carries its standard uncertainties into the next batch', () => {
    expect(Number(lot.uncertainty?.rose)).toBeCloseTo(
      uncertaintyOf(input, limits, made).materials.get('rose')?.u ?? 0,
      9,
    );
  });

  it('has a price only where every lot had one', () => {
    expect(lot.price).toBeUndefined();
    const priced = { ...input, lots: input.lots.map((one) => ({ ...one, price: '2' })) };
    const again = asMade(priced);
    expect(
      madeLot(again, uncertaintyOf(priced, limits, again), { code: 'N', name: 'N', batch: 'b' }).price,
    ).toBe('2');
  });

  it('of nothing is refused', () => {
    const nothing = asMadeInput(pouredOf(stored([{ type: 'started', ...facts }])));
    const none = asMade(nothing);
    expect(() =>
      madeLot(none, uncertaintyOf(nothing, limits, none), { code: 'N', name: 'N', batch: 'b' }),
    ).toThrow('nothing was poured');
  });
});

describe('a material that the batch does not describe', () => {
  it('counts as neat, as in the plan', () => {
    const less = { ...input, materials: materials.filter((material) => material.key !== 'musk') };
    const made = asMade(less);
    expect(made.strength.eq(asMade(input).strength)).toBe(true);
    expect(made.composition.at(-1)).toMatchObject({ material: 'musk', name: 'musk', kind: 'neat' });
  });
});
