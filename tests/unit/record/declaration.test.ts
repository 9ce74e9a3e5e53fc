import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Material } from '../../../core/formula/types.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { declarationOf, type LabellingTable, type ProductUse } from '../../../core/record/declaration.ts';

const table: LabellingTable = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../../fixtures/references/allergens.json'), 'utf8'),
);
const D = (value: string): Decimal => new Decimal(value);

const material = (key: string, more: Partial<Material> = {}): Material => ({
  key,
  name: key,
  note: 'top',
  family: 'citruses',
  kind: 'neat',
  ...more,
});

const materials: Material[] = [
  material('bergamot', {
    constituents: [
      { name: 'Limonene', cas: '5989-27-5', fraction: '0.4' },
      { name: 'Linalyl acetate', fraction: '0.3' },
      { name: 'Linalool', cas: '78-70-6', fraction: '0.1' },
      { name: 'Myrcene', fraction: '0.01' },
    ],
    limit: { fraction: '0.004', document: 'supplier sheet 12', date: '2025-03-01' },
  }),
  material('linalool', { name: 'Linalool', cas: '78-70-6' }),
  material('lilial', { name: 'Butylphenyl methylpropional' }),
  material('amber'),
  material('ethanol', { kind: 'solvent' }),
];
const composition = [
  { material: 'bergamot', fraction: D('0.05') },
  { material: 'linalool', fraction: D('0.0001') },
  { material: 'amber', fraction: D('0.02') },
  { material: 'ethanol', fraction: D('0.9299') },
];
const of = (dose: string, use: ProductUse = 'leave-on', parts = composition) =>
  declarationOf({ composition: parts, materials, dose: D(dose), use, table });

describe('a declaration', () => {
  const whole = of('1');

  it('sums a constituent over everything that brings it, the material itself too', () => {
    const linalool = whole.constituents.find((one) => one.cas === '78-70-6');
    expect(linalool?.fraction.toFixed()).toBe('0.0051');
    expect(linalool?.from.map((part) => [part.material, part.fraction.toFixed()])).toEqual([
      ['bergamot', '0.005'],
      ['Linalool', '0.0001'],
    ]);
    expect(whole.constituents.map((one) => one.name)).toEqual([
      'Limonene (d-)',
      'Linalyl acetate',
      'Linalool',
      'Myrcene',
    ]);
  });

  it('says from where it knows that a constituent is listed, and declares no other', () => {
    expect(whole.constituents.map((one) => [one.listing, one.declare])).toEqual([
      ['text', true],
      ['secondary', true],
      ['text', true],
      ['none', false],
    ]);
  });

  it('exceeds strictly: 0.001 % leave-on, 0.01 % rinse-off', () => {
    const part = (fraction: string, use: ProductUse) =>
      of('1', use, [{ material: 'linalool', fraction: D(fraction) }]).constituents[0]?.declare;
    expect([part('0.00001', 'leave-on'), part('0.0000100001', 'leave-on')]).toEqual([false, true]);
    expect([part('0.0001', 'rinse-off'), part('0.0001000001', 'rinse-off')]).toEqual([false, true]);
  });

  it('carries what the table remarks, such as a prohibition', () => {
    const found = of('1', 'leave-on', [{ material: 'lilial', fraction: D('0.001') }]).constituents[0];
    expect([found?.cas, found?.remark]).toEqual(['80-54-6', 'prohibited']);
  });

  it('holds the supplier limits, with the highest dose that keeps them', () => {
    expect(whole.limits.map((one) => [one.name, one.exceeded, one.document])).toEqual([
      ['bergamot', true, 'supplier sheet 12'],
    ]);
    expect(whole.highestDose?.toFixed()).toBe('0.08');
    expect(of('0.08').limits[0]?.exceeded).toBe(false);
    expect(of('0.0801').limits[0]?.exceeded).toBe(true);
  });

  it('has no highest dose without a limit, and none above 1', () => {
    expect(of('1', 'leave-on', [{ material: 'amber', fraction: D('1') }]).highestDose).toBeNull();
    expect(of('1', 'leave-on', [{ material: 'bergamot', fraction: D('0.001') }]).highestDose?.toFixed()).toBe(
      '1',
    );
  });

  it('names the materials of which nothing is entered, and always says what it is not', () => {
    expect(whole.unknown).toEqual(['amber']);
    expect(whole.note).toContain('not a safety assessment');
  });

  it.each(['0', '-0.1', '1.01'])('refuses a dose of %s', (dose) => {
    expect(() => of(dose)).toThrow(`a dose of ${dose}`);
  });

  it('keeps every limit at its highest dose, and breaks one just above it', () => {
    const fraction = fc.integer({ min: 1, max: 999 }).map((n) => new Decimal(n).div(1000));
    fc.assert(
      fc.property(fc.array(fc.tuple(fraction, fraction), { minLength: 1, maxLength: 6 }), (pairs) => {
        const limited = pairs.map(([, limit], i) =>
          material(`m${i}`, { limit: { fraction: limit.toFixed(), document: 'sheet', date: '2025-01-01' } }),
        );
        const parts = pairs.map(([share], i) => ({ material: `m${i}`, fraction: share.div(pairs.length) }));
        const at = (dose: Decimal) =>
          declarationOf({ composition: parts, materials: limited, dose, use: 'leave-on', table });
        const highest = at(new Decimal(1)).highestDose ?? new Decimal(0);
        const slightly = new Decimal('1e-12');
        expect(at(highest.times(new Decimal(1).minus(slightly))).limits.every((one) => !one.exceeded)).toBe(
          true,
        );
        const above = highest.times(new Decimal(1).plus(slightly));
        if (above.lte(1)) expect(at(above).limits.some((one) => one.exceeded)).toBe(true);
      }),
    );
  });
});
