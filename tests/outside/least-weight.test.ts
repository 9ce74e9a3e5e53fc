import { describe, expect, it } from 'vitest';
import { scaleOf, strictLeast } from '../../core/formula/weighable.ts';
import rules from '../../fixtures/references/balance-rules.json' with { type: 'json' };

const { usp_41: usp } = rules;

describe(`least weight by USP <41> (${usp.confirmed}): ${usp.minimum_weight_formula}`, () => {
  it.each(usp.worked.map((one) => ({ s_g: 0, m_min_g: Number.NaN, m_min_at_floor_g: Number.NaN, ...one })))(
    'd = $d_g g, s = $s_g g',
    ({ d_g, s_g, m_min_g, m_min_at_floor_g }) => {
      const least = strictLeast({ d: String(d_g), s: String(s_g), c: '0', capacity: '200' });
      expect(least.toNumber()).toBe(Number.isNaN(m_min_g) ? m_min_at_floor_g : m_min_g);
    },
  );

  it.each(
    usp.published_examples_seen.map((one) => ({
      s_g: 's_mg' in one && one.s_mg !== undefined ? one.s_mg / 1000 : (one.s_ug ?? Number.NaN) / 1e6,
      least_g: one.m_min_mg / 1000,
    })),
  )('a published example: s = $s_g g gives $least_g g', ({ s_g, least_g }) => {
    const least = strictLeast({ d: '0.000001', s: s_g.toFixed(9), c: '0', capacity: '200' });
    expect(least.toNumber()).toBeCloseTo(least_g, 12);
  });

  it(`its floor: ${usp['why_0.41']}`, () => {
    const floor = scaleOf({ d: '1', s: '0', c: '0', capacity: '1' }).floor.sqrt().toNumber();
    expect(floor).toBeCloseTo(2 ** 0.5 / (2 * 3 ** 0.5), 12);
    expect(floor).toBeCloseTo(0.40825, 5);
  });
});
