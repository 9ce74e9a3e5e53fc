import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decimalsOf } from '../../../core/quantity/decimal.ts';
import { gramsKeepingDigits, MASS_UNITS, massUnit, toGrams } from '../../../core/quantity/units.ts';

describe('units of mass', () => {
  it.each([
    ['0.100', 'kg', '100'],
    ['0.1000', 'kg', '100.0'],
    ['1.00', 'ct', '0.200'],
    ['12.340', 'g', '12.340'],
    ['-0.05', 'g', '-0.05'],
    ['1.5', 'kg', '1500'],
    ['-1', 'mg', '-0.001'],
    ['0.00', 'ozt', '0.000000000'],
    ['2', 'tael-cn', '100'],
    ['1.0', 'lb', '453.592370'],
    ['1.0', 'gr', '0.064798910'],
  ])('%s %s is %s g, digits kept', (figure, unit, grams) => {
    expect(gramsKeepingDigits(figure, unit)).toBe(grams);
  });

  it('keeps the value and the written resolution in every unit', () => {
    const figures = fc.tuple(
      fc.boolean(),
      fc.bigInt({ min: 0n, max: 9_999_999n }),
      fc.integer({ min: 0, max: 5 }),
    );
    fc.assert(
      fc.property(figures, fc.constantFrom(...Object.keys(MASS_UNITS)), ([negative, digits, scale], unit) => {
        const padded = digits.toString().padStart(scale + 1, '0');
        const figure = `${negative ? '-' : ''}${padded.slice(0, padded.length - scale)}${scale > 0 ? `.${padded.slice(-scale)}` : ''}`;
        const grams = gramsKeepingDigits(figure, unit);
        expect(toGrams(figure, unit).eq(grams)).toBe(true);
        expect(decimalsOf(grams)).toBe(Math.max(0, scale - massUnit(unit).exponent));
      }),
    );
  });

  it('refuses a tael without its variety, and says why', () => {
    for (const code of ['tael', 'tl', 'TL', 'Tael'])
      expect(() => toGrams('1', code)).toThrow(/several taels.*tael-hk, tael-tw or tael-cn/);
  });

  it('refuses a unit it does not know, and names those it does', () => {
    expect(() => toGrams('1', 'drop')).toThrow(/"drop" is no unit of mass; known are g, kg/);
    expect(() => gramsKeepingDigits('1', 'constructor')).toThrow(/no unit of mass/);
  });

  it('refuses a figure that is not plain decimal', () => {
    expect(() => gramsKeepingDigits('1e3', 'g')).toThrow(/plain decimal/);
    expect(() => gramsKeepingDigits('1,5', 'kg')).toThrow(/plain decimal/);
    expect(() => gramsKeepingDigits('', 'ct')).toThrow(/plain decimal/);
    expect(() => toGrams('.5', 'g')).toThrow(/plain decimal/);
  });
});
