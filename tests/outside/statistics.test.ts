import { sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { decimal } from '../../core/quantity/decimal.ts';
import { mean, standardDeviation, standardError } from '../../core/quantity/statistics.ts';
import reference from '../../fixtures/references/strd.json' with { type: 'json' };

/** The values of a data set; the long ones are told by their construction: one value, then 500 pairs. */
function valuesOf(set: (typeof reference.datasets)[keyof typeof reference.datasets]): string[] {
  if ('data' in set) return set.data;
  const [, first = '', low = '', high = ''] =
    /first value ([\d.]+), then 500 pairs ([\d.]+), ([\d.]+)/.exec(set.construction) ?? [];
  return [first, ...Array.from({ length: 500 }, () => [low, high]).flat()];
}

describe(reference.document, () => {
  it.each(Object.entries(reference.datasets))('%s: every certified digit of mean and sd', (_, set) => {
    const values = valuesOf(set).map(decimal);
    expect(values).toHaveLength(set.n);
    expect(mean(values).eq(set.mean)).toBe(true);
    const digits = set.sd_n_minus_1.replace(/^0\.0*|\./g, '').length;
    expect(standardDeviation(values).toSignificantDigits(digits).eq(set.sd_n_minus_1)).toBe(true);
    expect(
      standardError(values)
        .times(values.length ** 0.5)
        .minus(set.sd_n_minus_1)
        .abs()
        .lt('1e-12'),
    ).toBe(true);
  });

  it('keeps digits that floating point loses in the hardest set', () => {
    const values = valuesOf(reference.datasets.NumAcc4);
    expect(sampleStandardDeviation(values.map(Number))).not.toBe(0.1);
    expect(standardDeviation(values.map(decimal)).toString()).toBe('0.1');
  });

  it('refuses to say what too few values do not tell', () => {
    expect(() => mean([])).toThrow(RangeError);
    expect(() => standardDeviation([decimal('1')])).toThrow(RangeError);
  });
});
