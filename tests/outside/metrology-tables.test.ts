import { describe, expect, it } from 'vitest';
import {
  type BalanceClass,
  balanceError,
  IN_SERVICE,
  leastLoad,
  WEIGHT_CLASSES,
  weightError,
} from '../../core/quantity/standards.ts';
import { toGrams } from '../../core/quantity/units.ts';
import rules from '../../fixtures/references/balance-rules.json' with { type: 'json' };
import weights from '../../fixtures/references/weights-mpe.json' with { type: 'json' };

const { oiml_r76: r76 } = rules;

describe(`check weights: ${weights.source} (${weights.confirmed})`, () => {
  it.each(weights.rows)('$nominal', (row) => {
    const [figure = '', unit = ''] = row.nominal.split(' ');
    const nominal = toGrams(figure, unit).toNumber();
    for (const name of WEIGHT_CLASSES) {
      const published = row[name];
      if (published === null) expect(() => weightError(nominal, name)).toThrow(/is not defined for/);
      else expect(weightError(nominal, name)).toBe(published);
    }
  });

  it('knows no others', () => {
    expect(() => weightError(3, 'F1')).toThrow(/3 g is not in the table/);
  });
});

describe(`balances: ${r76.document} (${r76.confirmed})`, () => {
  it.each(r76.mpe_initial_verification)('$mpe_e e', (row) => {
    for (const name of ['I', 'II', 'III', 'IIII'] as const) {
      const [low, high] = row[name];
      if (low === null || low === undefined) throw new RangeError('the band has no beginning');
      expect(balanceError(low + 1, 1, name)).toBe(row.mpe_e);
      if (low > 0) expect(balanceError(low, 1, name)).toBe(row.mpe_e - 0.5);
      if (high !== null && high !== undefined) expect(balanceError(high, 1, name)).toBe(row.mpe_e);
    }
  });

  it.each(r76.worked_mpe)('worked: class $class, e = $e_g g, Max $Max_g g', (worked) => {
    const name = worked.class as BalanceClass;
    for (const [low, high, error] of worked.bands_g as [number, number, number][]) {
      expect(balanceError(high, worked.e_g, name)).toBeCloseTo(error, 12);
      expect(balanceError(low + worked.e_g, worked.e_g, name)).toBeCloseTo(error, 12);
    }
    expect(leastLoad(name, worked.e_g, worked.d_g)).toBeCloseTo(worked.Min_g, 12);
  });

  it.each(r76.classes)('class $class from e = $e_min_g g: least load $Min_in_e e', (row) => {
    const e = row.e_min_g;
    expect(leastLoad(row.class as BalanceClass, e)).toBeCloseTo(row.Min_in_e * e, 12);
    if (row.e_max_g !== null)
      expect(leastLoad(row.class as BalanceClass, row.e_max_g)).toBeCloseTo(row.Min_in_e * row.e_max_g, 12);
  });

  it('allows twice the error in service', () => {
    expect(IN_SERVICE).toBe(r76.in_service_factor);
  });

  it('refuses a load beyond the class and an interval it does not know', () => {
    expect(() => balanceError(100_001, 1, 'II')).toThrow(/outside class II/);
    expect(() => balanceError(-1, 1, 'II')).toThrow(RangeError);
    expect(() => leastLoad('III', 0.01)).toThrow(/class III knows no interval e = 0\.01 g/);
  });
});
