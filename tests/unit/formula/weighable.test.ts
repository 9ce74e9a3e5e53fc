import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseLots } from '../../../core/formula/choose-lots.ts';
import { plan } from '../../../core/formula/plan.ts';
import type { BalanceLimits, Sureness } from '../../../core/formula/types.ts';
import { halfWindow, leastSure, scaleOf, strictLeast, sureness } from '../../../core/formula/weighable.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { ABSOLUTE, dilution, formula, JEWELLERY, materialsOf, neat } from './workshop.ts';

function judge(mass: string, tolerance: string, balance: BalanceLimits): Sureness {
  const scale = scaleOf(balance);
  const target = new Decimal(mass);
  const share = new Decimal(tolerance);
  return sureness(target, halfWindow(target, share, scale.d), share, scale);
}

describe('how surely a line is weighed', () => {
  it.each<[string, string, Partial<BalanceLimits>, Sureness]>([
    ['1', '0.01', {}, 'sure'],
    ['0.99', '0.01', {}, 'coarse'],
    ['0.1', '0.01', {}, 'coarse'],
    ['0.099', '0.01', {}, 'blind'],
    ['0.003', '0.01', {}, 'blind'],
    ['1', '0.01', { s: '0.006' }, 'coarse'],
    ['2', '0.01', { s: '0.006' }, 'sure'],
    ['1', '0.01', { s: '0.011' }, 'blind'],
    ['0.1', '0.01', { d: '0.001', s: '0' }, 'sure'],
    ['100', '0.01', { c: '0.0051' }, 'coarse'],
    ['100', '0.01', { c: '0.02' }, 'blind'],
    ['0.2', '0.05', {}, 'sure'],
  ])('%s g at a tolerance of %s with %j is %s', (mass, tolerance, more, expected) => {
    expect(judge(mass, tolerance, { ...JEWELLERY, ...more })).toBe(expected);
  });

  it('never falls below the rounding of both readings, whatever repeatability is claimed', () => {
    expect(
      scaleOf({ ...JEWELLERY, s: '0' })
        .floor.sqrt()
        .toNumber(),
    ).toBeCloseTo(0.01 / Math.sqrt(6), 12);
  });

  it('has a least sure mass: sure at it, not sure under it', () => {
    const sizes = fc.constantFrom('0.1', '0.01', '0.001', '0.0001');
    const cases = fc.tuple(sizes, fc.integer({ min: 0, max: 30 }), fc.integer({ min: 2, max: 100 }));
    fc.assert(
      fc.property(cases, ([d, tenths, thousandths]) => {
        const balance = { ...JEWELLERY, d, s: new Decimal(d).times(tenths).div(10).toString() };
        const tolerance = new Decimal(thousandths).div(1000).toString();
        const least = leastSure(tolerance, balance);
        expect(least).not.toBeNull();
        if (least === null) return;
        expect(judge(least.times('1.0001').toString(), tolerance, balance)).toBe('sure');
        expect(judge(least.times('0.9999').toString(), tolerance, balance)).not.toBe('sure');
      }),
    );
    expect(leastSure('0.01', { ...JEWELLERY, c: '0.006' })).toBeNull();
  });

  it('compares with the strict rule', () => {
    expect(strictLeast(JEWELLERY).toString()).toBe('8.2');
  });

  it('marks a window narrower than one drop', () => {
    const lots = [neat('rose', { drop: '0.025' }), neat('musk', { drop: '0.019' }), ABSOLUTE];
    const made = plan(
      formula('10', ['rose 0.1 ROSE', 'musk 0.1 MUSK', 'ethanol qs ETA']),
      materialsOf(lots),
      lots,
      JEWELLERY,
    );
    expect(made.steps.map((step) => [step.line, step.dropTooLarge])).toEqual([
      ['l1', true],
      ['l2', false],
      ['l3', false],
    ]);
  });
});

describe('the bottle that is chosen', () => {
  const pick = (lots: Parameters<typeof materialsOf>[0], share: string, today?: string) =>
    chooseLots(
      formula('30', [`rose ${share}`, 'ethanol qs']),
      new Map(materialsOf(lots).map((one) => [one.key, one])),
      lots,
      JEWELLERY,
      today,
    )
      .bottles()
      .get('l1')?.lot.code;

  it('is the neat one where that is surely weighed', () => {
    expect(pick([dilution('rose', '0.1'), neat('rose'), ABSOLUTE], '0.05')).toBe('ROSE');
  });

  it('is the strongest dilution with which a small line is surely weighed', () => {
    const lots = [neat('rose'), dilution('rose', '0.1'), dilution('rose', '0.01'), ABSOLUTE];
    expect(pick(lots, '0.004')).toBe('ROSE-0.1');
    expect(pick(lots, '0.0004')).toBe('ROSE-0.01');
  });

  it('is the one that expires first among bottles alike, unless it holds too little or has expired', () => {
    const early = neat('rose', { code: 'EARLY', bestBefore: '2027-01-31', stock: '10' });
    const late = neat('rose', { code: 'LATE', bestBefore: '2028-01-31', stock: '10' });
    expect(pick([late, early, ABSOLUTE], '0.05', '2026-11-25')).toBe('EARLY');
    expect(pick([late, early, ABSOLUTE], '0.05', '2027-06-01')).toBe('LATE');
    expect(pick([late, { ...early, stock: '1' }, ABSOLUTE], '0.05', '2026-11-25')).toBe('LATE');
  });

  it('brings in no strange solvent where another will do', () => {
    const lots = [dilution('rose', '0.2', 'dipropylene-glycol'), dilution('rose', '0.1'), ABSOLUTE];
    expect(pick(lots, '0.02')).toBe('ROSE-0.1');
  });

  it('is a stronger one where the pours would not fit into the batch', () => {
    const lots = [
      dilution('rose', '0.5'),
      dilution('rose', '0.1'),
      neat('rose', { stock: '0' }),
      dilution('musk', '0.2'),
      ABSOLUTE,
    ];
    const made = plan(
      formula('30', ['rose 0.02', 'musk 0.18 MUSK-0.2', 'ethanol qs ETA']),
      materialsOf(lots),
      lots,
      JEWELLERY,
    );
    expect(made.steps.map((step) => step.lot)).toContain('ROSE-0.5');
  });

  it('is never one with other materials in it, unless named by hand', () => {
    const base = { code: 'BASE', name: 'Base', composition: { rose: '0.5', musk: '0.5' } };
    expect(() => pick([base, ABSOLUTE], '0.05')).toThrow(
      /line l1: no lot holds "rose" without other materials; it is among others in BASE\. Name the lot/,
    );
  });

  it('serves one line only', () => {
    const lots = [neat('rose'), ABSOLUTE];
    expect(() =>
      plan(formula('30', ['rose 0.05', 'rose 0.05', 'ethanol qs']), materialsOf(lots), lots, JEWELLERY),
    ).toThrow(/line l2: every lot of "rose" serves another line already/);
  });

  it('judges as the plan does', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 999 }), fc.integer({ min: 1, max: 40 }), (parts, tenths) => {
        const share = new Decimal(parts).div(10000).toString();
        const balance = { ...JEWELLERY, s: new Decimal(tenths).div(1000).toString() };
        const lots = [neat('rose'), dilution('rose', '0.1'), dilution('rose', '0.01'), ABSOLUTE];
        const free = plan(formula('30', [`rose ${share}`, 'ethanol qs']), materialsOf(lots), lots, balance);
        const rank = { sure: 0, coarse: 1, blind: 2 };
        const mine = free.steps.find((step) => step.line === 'l1');
        for (const lot of ['ROSE', 'ROSE-0.1', 'ROSE-0.01']) {
          if (Number(share) / Number(lot.split('-')[1] ?? 1) > 1) continue;
          const forced = plan(
            formula('30', [`rose ${share} ${lot}`, 'ethanol qs']),
            materialsOf(lots),
            lots,
            balance,
          );
          const other = forced.steps.find((step) => step.line === 'l1');
          expect(rank[mine?.sureness ?? 'blind']).toBeLessThanOrEqual(rank[other?.sureness ?? 'sure']);
        }
      }),
      { numRuns: 60 },
    );
  });
});
