import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { decimal } from '../../core/quantity/decimal.ts';
import { gramsKeepingDigits, toGrams } from '../../core/quantity/units.ts';
import reference from '../../fixtures/references/units.json' with { type: 'json' };

const { exact } = reference;

describe(`units of mass: ${reference.source}`, () => {
  it.each<[string, number]>([
    ['gr', exact.grain_mg / 1000],
    ['dwt', exact.pennyweight_g],
    ['ozt', exact.ounce_troy_g],
    ['oz', exact.ounce_avdp_g],
    ['lb', exact.pound_avdp_g],
    ['ct', exact.carat_metric_g],
    ['dr', exact.dram_avdp_g],
    ['scr', exact.scruple_ap_g],
    ['mom', exact.momme_g],
    ['tola', exact.tola_g],
    ['tael-hk', exact.tael_HK_law_g],
    ['tael-tw', exact.tael_TW_g],
    ['tael-cn', exact.tael_CN_g],
  ])('one %s is %d g', (code, grams) => {
    expect(toGrams('1', code).toNumber()).toBe(grams);
    expect(Number(gramsKeepingDigits('1.000', code))).toBe(grams);
  });

  it('agrees within: 24 grains a pennyweight, 20 pennyweights a troy ounce, 16 ounces and 7000 grains a pound', () => {
    expect(toGrams('24', 'gr').eq(toGrams('1', 'dwt'))).toBe(true);
    expect(toGrams('20', 'dwt').eq(toGrams('1', 'ozt'))).toBe(true);
    expect(toGrams('16', 'oz').eq(toGrams('1', 'lb'))).toBe(true);
    expect(toGrams('7000', 'gr').eq(toGrams('1', 'lb'))).toBe(true);
    expect(toGrams('20', 'gr').eq(toGrams('1', 'scr'))).toBe(true);
    expect(toGrams('16', 'dr').eq(toGrams('1', 'oz'))).toBe(true);
    expect(toGrams('10', 'mom').eq(toGrams('1', 'tael-tw'))).toBe(true);
  });

  it.each([
    ['kg', 'kg'],
    ['mg', 'mg'],
    ['gr', 'grain'],
    ['dr', 'dram'],
    ['oz', 'oz'],
    ['lb', 'lbm'],
  ])('%s as a general units library (mathjs %s) has it', (code, name) => {
    for (const figure of ['1', '0.05', '12.340'])
      expect(toGrams(figure, code).toNumber()).toBeCloseTo(unit(Number(figure), name).toNumber('g'), 9);
    expect(decimal(gramsKeepingDigits('2.50', code)).toNumber()).toBeCloseTo(
      unit(2.5, name).toNumber('g'),
      9,
    );
  });
});
