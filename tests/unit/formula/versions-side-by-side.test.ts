import { describe, expect, it } from 'vitest';
import { adopted } from '../../../core/formula/adopt.ts';
import { compareFormulas } from '../../../core/formula/compare-formulas.ts';
import { pictureOf } from '../../../core/formula/picture.ts';
import type { Formula, Material } from '../../../core/formula/types.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';

const formula = (lines: Formula['lines']): Formula => ({
  id: 'f',
  name: 'F',
  batch: '30',
  tolerance: '0.01',
  lines,
});
const first = formula([
  { id: 'a', material: 'rose', fraction: '0.02' },
  { id: 'b', material: 'rose', fraction: '0.01', lot: 'R-10' },
  { id: 'c', material: 'musk', fraction: '0.05' },
  { id: 'q', material: 'ethanol', qs: true },
]);

describe('two formulas side by side', () => {
  it('are merged by material, with what was added, taken out and changed', () => {
    const second = formula([
      { id: 'a', material: 'rose', fraction: '0.035' },
      { id: 'd', material: 'iris', fraction: '0.004' },
      { id: 'q', material: 'ethanol', qs: true },
    ]);
    expect(compareFormulas(first, second, '30')).toEqual([
      {
        material: 'rose',
        how: 'changed',
        a: '0.03',
        b: '0.035',
        fills: { a: false, b: false },
        difference: '0.005',
        grams: '0.15',
      },
      {
        material: 'musk',
        how: 'removed',
        a: '0.05',
        b: null,
        fills: { a: false, b: false },
        difference: '-0.05',
        grams: '-1.5',
      },
      {
        material: 'ethanol',
        how: 'changed',
        a: '0.92',
        b: '0.961',
        fills: { a: true, b: true },
        difference: '0.041',
        grams: '1.23',
      },
      {
        material: 'iris',
        how: 'added',
        a: null,
        b: '0.004',
        fills: { a: false, b: false },
        difference: '0.004',
        grams: '0.12',
      },
    ]);
    expect(compareFormulas(first, first, '30').every((one) => one.how === 'same')).toBe(true);
  });
});

const material = (
  key: string,
  note: Material['note'],
  family: string,
  kind: Material['kind'] = 'neat',
): Material => ({
  key,
  name: key,
  note,
  family,
  kind,
});

describe('the picture of a formula', () => {
  it('tells notes and families as shares of what is neat', () => {
    const materials = [
      material('rose', 'heart', 'florals'),
      material('musk', 'base', 'musks'),
      material('ethanol', null, 'solvents', 'solvent'),
    ];
    const picture = pictureOf(first, new Map(materials.map((one) => [one.key, one])));
    expect(picture.neat.toString()).toBe('0.08');
    expect(picture.notes.map(({ name, share }) => [name, share.toString()])).toEqual([
      ['heart', '0.375'],
      ['base', '0.625'],
    ]);
    expect(picture.families.map(({ name }) => name)).toEqual(['musks', 'florals']);
    expect(pictureOf(formula([]), new Map()).notes).toEqual([]);
  });
});

describe('a batch as made, adopted', () => {
  const more = { name: 'F, softer', batch: '30', tolerance: '0.01' };
  const figures = (lines: ReturnType<typeof adopted>['lines']) =>
    lines.map((line) => [
      line.id,
      'material' in line.of ? line.of.material : '',
      line.amount?.figure ?? 'q.s.',
    ]);

  it('has its neat fractions, keeps what fills, and leaves to it what only came with bottles', () => {
    const made = adopted(
      first,
      [
        { material: 'rose', kind: 'neat', fraction: '0.0312345678901' },
        { material: 'musk', kind: 'neat', fraction: '0' },
        { material: 'iris', kind: 'neat', fraction: '0.004' },
        { material: 'ethanol', kind: 'solvent', fraction: '0.9' },
        { material: 'water', kind: 'solvent', fraction: '0.0647654321099' },
      ],
      more,
    );
    expect(figures(made.lines)).toEqual([
      ['a', 'rose', '3.123457'],
      ['made.iris', 'iris', '0.4'],
      ['q', 'ethanol', 'q.s.'],
    ]);
    expect(made.name).toBe('F, softer');
  });

  it('without a q.s. line adds up to the whole exactly', () => {
    const third = new Decimal(1).div(3).toFixed(20);
    const made = adopted(
      formula([
        { id: 'a', material: 'rose', fraction: '0.5' },
        { id: 'b', material: 'musk', fraction: '0.25' },
        { id: 'c', material: 'iris', fraction: '0.25' },
      ]),
      ['rose', 'musk', 'iris'].map((key) => ({ material: key, kind: 'neat' as const, fraction: third })),
      more,
    );
    const sum = made.lines.reduce((all, line) => all.plus(line.amount?.figure ?? '0'), new Decimal(0));
    expect(sum.toString()).toBe('100');
  });
});
