import { describe, expect, it } from 'vitest';
import type { Workplace } from '../../../core/formula/batch.ts';
import { plan } from '../../../core/formula/plan.ts';
import { remedies } from '../../../core/formula/remedies.ts';
import type { Lot, Plan } from '../../../core/formula/types.ts';
import { decimal } from '../../../core/quantity/decimal.ts';
import { ABSOLUTE, dilution, formula, JEWELLERY, materialsOf, neat } from './workshop.ts';

const place = (lots: Lot[], balance = JEWELLERY): Workplace => ({
  lots,
  materials: materialsOf(lots),
  balance,
});

const step = (made: Plan, line: string) => made.steps.find((one) => one.line === line);

/** 12 mg of rose in 30 g: blind on a 0.01 g balance. */
const tiny = formula('30', ['rose 0.0004 ROSE', 'ethanol qs ETA']);

describe('ways to weigh a line surely', () => {
  it('come ranked: a bottle on the shelf, a dilution to make, a larger batch, a finer balance', () => {
    const found = remedies(tiny, 'l1', place([neat('rose'), dilution('rose', '0.01'), ABSOLUTE]));
    expect(found.map((one) => one.kind)).toEqual(['bottle', 'dilution', 'batch', 'balance']);
    expect(found.every((one) => one.sureness === 'sure' && one.line === 'l1')).toBe(true);
  });

  it('are each a plan that can be applied as it is', () => {
    const at = place([neat('rose'), dilution('rose', '0.01'), ABSOLUTE]);
    for (const remedy of remedies(tiny, 'l1', at)) {
      if (remedy.kind === 'balance') {
        const finer = plan(tiny, at.materials, at.lots, { ...JEWELLERY, d: remedy.d, s: '0' });
        expect(step(finer, 'l1')?.sureness).toBe('sure');
        continue;
      }
      const lots = remedy.kind === 'dilution' ? [...at.lots, remedy.lot] : at.lots;
      const made = plan(remedy.formula, at.materials, lots, JEWELLERY);
      expect(step(made, 'l1')?.sureness, remedy.kind).toBe('sure');
      expect(
        decimal(step(made, 'l1')?.target ?? '0')
          .minus(remedy.target)
          .abs()
          .lt('1e-9'),
      ).toBe(true);
    }
  });

  it('make the strongest dilution that does, in a batch that is itself surely weighed', () => {
    const at = place([neat('rose'), ABSOLUTE]);
    const found = remedies(tiny, 'l1', at).find((one) => one.kind === 'dilution');
    expect(found?.strength).toBe('0.01');
    expect(found?.first.batch).toBe('100');
    expect(found?.lot.composition).toEqual({ rose: '0.01', ethanol: '0.99' });
    if (found === undefined) return;
    const first = plan(found.first, at.materials, at.lots, JEWELLERY);
    expect(first.steps.map((one) => [one.target, one.sureness])).toEqual([
      ['1', 'sure'],
      ['99', 'sure'],
    ]);
  });

  it('dilute further from a dilution where the neat bottle would need too large a batch', () => {
    const least = formula('30', ['rose 0.00004 ROSE', 'ethanol qs ETA']);
    const found = remedies(least, 'l1', place([neat('rose'), dilution('rose', '0.1'), ABSOLUTE]));
    const made = found.find((one) => one.kind === 'dilution');
    expect(made?.strength).toBe('0.001');
    expect(made?.first.lines[0]?.lot).toBe('ROSE-0.1');
  });

  it('offer no bottle that holds too little, and none where nothing is wrong', () => {
    const scarce = dilution('rose', '0.01', 'ethanol', { stock: '1' });
    const kinds = remedies(tiny, 'l1', place([neat('rose'), scarce, ABSOLUTE])).map((one) => one.kind);
    expect(kinds).not.toContain('bottle');
    const fine = formula('30', ['rose 0.1 ROSE', 'ethanol qs ETA']);
    expect(remedies(fine, 'l1', place([neat('rose'), ABSOLUTE]))).toEqual([]);
    expect(remedies(tiny, 'l2', place([neat('rose'), ABSOLUTE]))).toEqual([]);
  });

  it('offer a dilution or a larger batch where only the drop is too large', () => {
    const drops = formula('20', ['rose 0.055 ROSE', 'ethanol qs ETA']);
    const found = remedies(drops, 'l1', place([neat('rose'), ABSOLUTE]));
    expect(found.map((one) => one.kind)).toEqual(['dilution', 'batch']);
    for (const remedy of found) {
      if (remedy.kind === 'balance') continue;
      const lots = [neat('rose'), ABSOLUTE, ...(remedy.kind === 'dilution' ? [remedy.lot] : [])];
      const made = plan(remedy.formula, materialsOf(lots), lots, JEWELLERY);
      expect(step(made, 'l1')?.dropTooLarge, remedy.kind).toBe(false);
    }
  });

  it('offer no dilution to make first that is no stronger than the line itself', () => {
    for (const share of ['0.5', '0.1']) {
      const same = formula('1', [`rose ${share} ROSE`, 'ethanol qs ETA']);
      const found = remedies(same, 'l1', place([neat('rose'), ABSOLUTE]));
      expect(found.map((one) => one.kind)).toEqual(['batch', 'balance']);
    }
    const weaker = formula('2', ['rose 0.4 ROSE', 'ethanol qs ETA']);
    const [first] = remedies(weaker, 'l1', place([neat('rose'), ABSOLUTE]));
    expect(first).toMatchObject({ kind: 'dilution', strength: '0.5' });
  });

  it('offer no dilution to make first that is as strong as the bottle poured now, or nearly', () => {
    const lots = [dilution('rose', '0.49', 'ethanol', { drop: '0.045' }), neat('rose'), ABSOLUTE];
    const two = formula('20', ['rose 0.049 ROSE-0.49', 'ethanol qs ETA']);
    const made = plan(two, materialsOf(lots), lots, JEWELLERY);
    expect(step(made, 'l1')).toMatchObject({ target: '2', sureness: 'sure', dropTooLarge: true });
    const found = remedies(two, 'l1', place(lots)).find((one) => one.kind === 'dilution');
    expect(found).toMatchObject({ strength: '0.2' });
    expect(Number(found?.target)).toBeGreaterThan(4);
  });

  it('do not promise a larger batch or dilution where the calibration alone is too uncertain', () => {
    const rough = { ...JEWELLERY, c: '0.02' };
    const found = remedies(tiny, 'l1', place([neat('rose'), dilution('rose', '0.01'), ABSOLUTE], rough));
    expect(found).toEqual([]);
  });
});
