import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fractionsFrom, type StatedLine, WHY_GRAMS } from '../../../core/formula/amounts.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';

const stated = (
  id: string,
  material: string,
  amount: string,
  more: Partial<StatedLine> = {},
): StatedLine => ({
  id,
  material,
  amount,
  ...more,
});

describe('a formula from a notebook', () => {
  it('in grams becomes fractions of their sum', () => {
    const found = fractionsFrom([stated('a', 'rose', '1.5'), stated('b', 'musk', '4.5')]);
    expect(found.lines).toEqual([
      { id: 'a', material: 'rose', fraction: '0.25' },
      { id: 'b', material: 'musk', fraction: '0.75' },
    ]);
    expect(found.batch).toBe('6');
    expect(found.words).toEqual([WHY_GRAMS]);
  });

  it('in parts tells no batch', () => {
    const found = fractionsFrom([
      stated('a', 'rose', '1', { unit: 'part' }),
      stated('b', 'musk', '3', { unit: 'parts' }),
    ]);
    expect(found.lines.map((line) => line.fraction)).toEqual(['0.25', '0.75']);
    expect(found.batch).toBeNull();
    expect(found.words.join(' ')).toContain('parts by mass');
  });

  it('in dilutions of a named strength becomes neat, the solvent part of the q.s. line', () => {
    const lines = [
      stated('a', 'vetiver', '1.5', { dilution: { strength: '0.1', solvent: 'ethanol' } }),
      stated('b', 'rose', '1', { unit: 'g' }),
      { id: 'c', material: 'ethanol', qs: true, lot: 'ET' },
    ];
    const found = fractionsFrom(lines, '30');
    expect(found.lines).toEqual([
      { id: 'a', material: 'vetiver', fraction: '0.005' },
      { id: 'b', material: 'rose', fraction: plainOf('1', '30') },
      { id: 'c', material: 'ethanol', qs: true, lot: 'ET' },
    ]);
  });

  it('lets the solvent of the dilutions fill to the total where no line does', () => {
    const dilution = { strength: '0.1', solvent: 'ethanol' };
    const found = fractionsFrom([stated('a', 'vetiver', '2', { dilution }), stated('b', 'ethanol', '8')]);
    expect(found.lines).toEqual([
      { id: 'a', material: 'vetiver', fraction: '0.02' },
      { id: 'b', material: 'ethanol', qs: true },
    ]);
    expect(found.batch).toBe('10');
  });

  it('in other units of mass is exact', () => {
    const found = fractionsFrom([
      stated('a', 'rose', '1', { unit: 'tola' }),
      stated('b', 'musk', '3', { unit: 'tola' }),
    ]);
    expect(found.lines.map((line) => line.fraction)).toEqual(['0.25', '0.75']);
    expect(found.batch).toBe('46.6552152');
  });

  it('keeps the proportions, whatever they are', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 99_999 }), { minLength: 2, maxLength: 20 }),
        (amounts) => {
          const lines = amounts.map((amount, at) =>
            stated(`l${at}`, `m${at}`, new Decimal(amount).div(100).toString()),
          );
          const found = fractionsFrom(lines);
          const sum = found.lines.reduce((all, line) => all.plus(line.fraction ?? '0'), new Decimal(0));
          expect(sum.minus(1).abs().lt('1e-12')).toBe(true);
          const first = new Decimal(found.lines[0]?.fraction ?? '0');
          const second = new Decimal(found.lines[1]?.fraction ?? '0');
          const ratio = new Decimal(amounts[0] ?? 0).div(amounts[1] ?? 1);
          expect(first.minus(second.times(ratio)).abs().lt('1e-9')).toBe(true);
        },
      ),
    );
  });

  it.each<[string, StatedLine[], string | undefined, RegExp]>([
    [
      'drops',
      [stated('a', 'rose', '3', { unit: 'drops' })],
      undefined,
      /line a: "drops" cannot be converted: a drop has no fixed mass.*Weigh it once/,
    ],
    ['a volume', [stated('a', 'rose', '3', { unit: 'mL' })], undefined, /a volume has no fixed mass/],
    ['a tael', [stated('a', 'rose', '3', { unit: 'tael' })], undefined, /line a: "tael" is not one mass/],
    [
      'parts beside grams',
      [stated('a', 'rose', '3'), stated('b', 'musk', '1', { unit: 'part' })],
      undefined,
      /some lines are in parts/,
    ],
    ['nothing', [{ id: 'c', material: 'ethanol', qs: true }], '3', /no line states an amount/],
    ['an amount below zero', [stated('a', 'rose', '-1')], undefined, /line a: the amount -1 is not above 0/],
    [
      'a strength over one',
      [stated('a', 'rose', '1', { dilution: { strength: '1.01', solvent: 'ethanol' } })],
      undefined,
      /line a: a strength of 1\.01/,
    ],
    [
      'more than the total',
      [stated('a', 'rose', '4'), { id: 'c', material: 'ethanol', qs: true }],
      '3',
      /add up to 4, more than the total of 3/,
    ],
    [
      'no total',
      [stated('a', 'rose', '4'), { id: 'c', material: 'ethanol', qs: true }],
      undefined,
      /the total is not said/,
    ],
  ])('%s is refused', (_, lines, total, why) => {
    expect(() => fractionsFrom(lines, total)).toThrow(FormulaTrouble);
    expect(() => fractionsFrom(lines, total)).toThrow(why);
  });
});

const plainOf = (a: string, b: string): string => new Decimal(a).div(b).toDecimalPlaces(15).toString();
