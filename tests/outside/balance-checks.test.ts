import { describe, expect, it } from 'vitest';
import { Decimal, decimal } from '../../core/quantity/decimal.ts';
import { type BalanceClass, WEIGHT_CLASSES } from '../../core/quantity/standards.ts';
import { toGrams } from '../../core/quantity/units.ts';
import { type CheckResult, resultOf } from '../../core/weighing/check-results.ts';
import {
  allowedFor,
  type CheckedBalance,
  judge,
  limitAt,
  measuredS,
  type Weights,
  weightLimit,
} from '../../core/weighing/check-rules.ts';
import { beginCheck, hearReading, say } from '../../core/weighing/check-run.ts';
import { counted } from '../../core/weighing/check-state.ts';
import type { CheckOrder } from '../../core/weighing/check-steps.ts';
import rules from '../../fixtures/references/balance-rules.json' with { type: 'json' };
import reference from '../../fixtures/references/strd.json' with { type: 'json' };
import weights from '../../fixtures/references/weights-mpe.json' with { type: 'json' };

const { oiml_r76: r76, usp_41: usp } = rules;

const balanceOf = (one: { class: string; Max_g: number; e_g: number; d_g: number }): CheckedBalance => ({
  d: String(one.d_g),
  capacity: String(one.Max_g),
  e: String(one.e_g),
  balanceClass: one.class as BalanceClass,
});

const UNKNOWN: CheckedBalance = { d: '0.01', capacity: '200', e: null, balanceClass: null };

/** What a check finds whose figures are typed; the person takes each that is not taken by itself. */
function typed(order: CheckOrder, balance: CheckedBalance, figures: readonly string[]): CheckResult {
  let run = beginCheck(order, balance);
  for (const [n, g] of figures.entries()) {
    const reading = {
      kind: 'weight',
      g,
      figure: g,
      digits: 2,
      unit: 'g',
      stable: null,
      typed: true,
    } as const;
    run = hearReading(run, { ...reading, at: 1000 * n });
    if (counted(run).length === n) run = say(run, 'take');
  }
  return resultOf(run);
}

describe(`several weighings, and several places: ${r76.repeatability}; ${r76.eccentricity} (${r76.confirmed})`, () => {
  const cases = r76.worked_mpe.flatMap((worked) =>
    (worked.bands_g as [number, number, number][]).map(([, load, error]) => ({
      balance: balanceOf(worked),
      load,
      limit: error * r76.in_service_factor,
      d: worked.d_g,
    })),
  );

  it.each(cases)('$load g, limit $limit g', ({ balance, load, limit, d }) => {
    const on = (off: number) => (load + off).toFixed(2);
    const repeated = (off: number) =>
      typed({ kind: 'repeatability', load: null, n: 5 }, balance, [
        '0.00',
        ...[0, -off, 0, 0, 0].flatMap((one) => [on(one), '0.00']),
      ]).verdict;
    const placed = (off: number) =>
      typed({ kind: 'eccentricity', load: null }, balance, ['0.00', ...[0, -off, 0, 0, 0].map(on), '0.00'])
        .verdict;
    expect([repeated(limit), placed(limit)]).toEqual(['pass', 'pass']);
    expect([repeated(limit + d), placed(limit + d)]).toEqual(['fail', 'fail']);
  });
});

describe(`what a balance in service may be off: ${r76.document} (${r76.confirmed})`, () => {
  it.each(r76.worked_mpe)('class $class, e = $e_g g, Max $Max_g g: twice the worked errors', (worked) => {
    for (const [, high, error] of worked.bands_g as [number, number, number][])
      expect(limitAt(new Decimal(high), balanceOf(worked)).toNumber()).toBeCloseTo(
        error * r76.in_service_factor,
        12,
      );
  });

  it('takes the class from the table of classes where it is not known', () => {
    for (const worked of r76.worked_mpe) {
      const unknown = { ...balanceOf(worked), balanceClass: null };
      expect(allowedFor(unknown).balanceClass).toBe(worked.class);
    }
    for (const row of r76.classes) {
      const most = row.n_max;
      if (most === null || row.class === 'IIII') continue;
      const e = row.e_min_g;
      const { balanceClass } = allowedFor({
        d: String(e),
        capacity: String(most * e),
        e: String(e),
        balanceClass: null,
      });
      const fitting = r76.classes.filter(
        (one) =>
          one.e_min_g <= e &&
          (one.e_max_g === null || e <= one.e_max_g) &&
          one.n_min <= most &&
          (one.n_max === null || most <= one.n_max),
      );
      expect(fitting.map((one) => one.class)).toContain(balanceClass);
    }
  });
});

describe(`whether a weight is fine enough: ${weights.source}; ${usp.accuracy} (${usp.confirmed})`, () => {
  const balance: CheckedBalance = { d: '0.01', capacity: '500', e: '0.01', balanceClass: 'II' };

  it.each(weights.rows)('$nominal', (row) => {
    const [figure = '', unit = ''] = row.nominal.split(' ');
    const nominal = toGrams(figure, unit);
    for (const name of WEIGHT_CLASSES) {
      const published = row[name];
      if (published === null) continue;
      const check: Weights = { parts: [nominal.toFixed()], weightClass: name };
      expect(weightLimit(check).times(1000).toNumber()).toBeCloseTo(published, 12);
      const limit = limitAt(nominal, balance).toNumber();
      const fine = published / 1000 <= limit / 3 + 1e-12;
      const exact = judge(nominal, check, balance);
      expect([name, exact.fine, exact.verdict]).toEqual([name, fine, fine ? 'pass' : 'doubtful']);
      const beyond = judge(
        nominal
          .plus(limit)
          .plus(published / 1000)
          .plus('0.001'),
        check,
        balance,
      );
      expect(beyond.verdict).toBe('fail');
    }
  });
});

describe(`the measured s: ${reference.document}`, () => {
  it.each(Object.entries(reference.datasets).filter(([, set]) => 'data' in set))(
    '%s, every certified digit',
    (_, set) => {
      if (!('data' in set)) throw new RangeError('the set has no data');
      const found = measuredS(set.data.map(decimal));
      const digits = set.sd_n_minus_1.replace(/^0\.0*|\./g, '').length;
      expect(found.s.toSignificantDigits(digits).eq(set.sd_n_minus_1)).toBe(true);
      expect(found.n).toBe(set.n);
    },
  );

  it.each([
    [5, 36],
    [10, 24],
    [20, 16],
    [30, 13],
    [50, 10],
  ])(
    'n = %i: its relative uncertainty is %i %% (JCGM 100:2008, table E.1, values from memory)',
    (n, percent) => {
      const nets = Array.from({ length: n }, (_, i) => new Decimal(i % 2 === 0 ? '50.00' : '50.01'));
      const { s, u } = measuredS(nets);
      expect(Math.abs(u.div(s).times(100).toNumber() - percent)).toBeLessThan(1);
    },
  );
});

describe(`least weight beside a repeatability run: ${usp.minimum_weight_formula} (${usp.confirmed})`, () => {
  /** Nets of 50 g whose standard deviation is this many hundredths of a gram. */
  const spread: Readonly<Record<string, readonly number[]>> = {
    '0': [0, 0, 0, 0, 0],
    '0.01': [-1, -1, 0, 1, 1],
  };

  it.each([
    ['0', usp.worked.find((one) => 'm_min_at_floor_g' in one && one.d_g === 0.01)],
    ['0.01', usp.worked.find((one) => 's_g' in one && one.s_g === 0.01)],
  ] as const)('s = %s g', (s, published) => {
    const figures = (spread[s] ?? []).flatMap((steps) => [(50 + steps / 100).toFixed(2), '0.00']);
    const found = typed({ kind: 'repeatability', load: null, n: 5 }, UNKNOWN, ['0.00', ...figures]);
    const least = published?.m_min_g ?? published?.m_min_at_floor_g;
    expect(least).toBeDefined();
    expect(found.rules.join(' ')).toContain(`= ${least} g for 0.10 %`);
  });
});
