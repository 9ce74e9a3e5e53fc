import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  batchByStock,
  batchByVolume,
  planAt,
  smallestSureBatch,
  splitBatch,
  type Workplace,
} from '../../../core/formula/batch.ts';
import type { Lot } from '../../../core/formula/types.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { mixtureDensity } from '../../../core/quantity/ethanol.ts';
import { ABSOLUTE, dilution, ETHANOL_96, formula, JEWELLERY, materialsOf, neat } from './workshop.ts';

const place = (lots: Lot[]): Workplace => ({ lots, materials: materialsOf(lots), balance: JEWELLERY });

describe('batch by the volume of a bottle', () => {
  it('is the density of the mixture times the volume: ethanol 96 % vol by the published tables', () => {
    const found = batchByVolume(formula('1', ['ethanol qs ET96']), '50', place([ETHANOL_96]));
    expect(Number(found.batch)).toBeCloseTo((50 * mixtureDensity(0.938384, 20)) / 1000, 2);
    expect(found.assumed).toEqual([]);
  });

  it('says which densities were assumed', () => {
    const lots = [neat('rose'), ABSOLUTE];
    const found = batchByVolume(formula('1', ['rose 0.2 ROSE', 'ethanol qs ETA']), '30', place(lots));
    expect(found.assumed).toEqual(['Rose']);
    const known = materialsOf(lots).map((one) => (one.key === 'rose' ? { ...one, density: '0.86' } : one));
    const better = batchByVolume(formula('1', ['rose 0.2 ROSE', 'ethanol qs ETA']), '30', {
      ...place(lots),
      materials: known,
    });
    expect(better.assumed).toEqual([]);
    expect(Number(better.density)).toBeCloseTo(1 / (0.2 / 0.86 + 0.8 / 0.78924), 3);
  });

  it('refuses a volume of nothing', () => {
    expect(() => batchByVolume(formula('1', ['ethanol qs ETA']), '0', place([ABSOLUTE]))).toThrow(
      /volume: 0 mL is not above 0/,
    );
  });
});

describe('batch by the lot that runs out first', () => {
  it('uses it up, and names it', () => {
    const lots = [
      neat('rose', { stock: '2' }),
      neat('musk', { stock: '1.5' }),
      { ...ABSOLUTE, stock: '500' },
    ];
    const one = formula('30', ['rose 0.05 ROSE', 'musk 0.05 MUSK', 'ethanol qs ETA']);
    const found = batchByStock(one, place(lots));
    expect(found).toEqual({ batch: '30', lot: 'MUSK', line: 'l2' });
    const more = batchByStock(one, place([neat('rose', { stock: '1.033' }), neat('musk'), ABSOLUTE]));
    expect(more).toEqual({ batch: '20.66', lot: 'ROSE', line: 'l1' });
  });

  it('is not known where no stock is', () => {
    expect(batchByStock(formula('30', ['ethanol qs ETA']), place([ABSOLUTE]))).toBeNull();
  });
});

describe('smallest batch in which every line is sure', () => {
  it('makes every line sure, and the next smaller one does not', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 500 }), fc.integer({ min: 5, max: 300 }), (rose, musk) => {
        const one = formula('10', [
          `rose ${rose / 10000} ROSE`,
          `musk ${musk / 1000} MUSK-0.5`,
          'ethanol qs ETA',
        ]);
        const at = place([neat('rose'), dilution('musk', '0.5'), ABSOLUTE]);
        const batch = smallestSureBatch(one, at);
        expect(batch).not.toBeNull();
        if (batch === null) return;
        const sure = (size: string) => planAt(one, at, size).steps.every((step) => step.sureness === 'sure');
        expect(sure(batch)).toBe(true);
        const digit = new Decimal(10).pow(decimal(batch).log(10).floor().minus(2));
        expect(sure(decimal(batch).minus(digit).toString())).toBe(false);
      }),
      { numRuns: 60 },
    );
  });
});

describe('splitting over vessels', () => {
  it('takes as few as hold it, in parts that add up', () => {
    expect(splitBatch('350', { balanceCapacity: '200' }, 2)).toEqual(['175.00', '175.00']);
    expect(splitBatch('350', { balanceCapacity: '200', vesselMass: '80' }, 2)).toEqual([
      '116.67',
      '116.67',
      '116.66',
    ]);
    expect(splitBatch('100', { balanceCapacity: '200', vesselCapacity: '30' }, 2)).toHaveLength(4);
    expect(splitBatch('30', { balanceCapacity: '200' }, 2)).toEqual(['30.00']);
  });

  it('adds up and fits, whatever is asked', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 2_000_000 }),
        fc.integer({ min: 50, max: 20_000 }),
        (total, most) => {
          const batch = new Decimal(total).div(1000).toString();
          const parts = splitBatch(batch, { balanceCapacity: new Decimal(most).div(100).toString() }, 2);
          expect(parts.reduce((sum, one) => sum.plus(one), new Decimal(0)).eq(batch)).toBe(true);
          for (const part of parts)
            expect(decimal(part).lte(new Decimal(most).div(100).plus('0.01'))).toBe(true);
        },
      ),
    );
  });

  it('refuses a vessel that is too heavy', () => {
    expect(() => splitBatch('10', { balanceCapacity: '200', vesselMass: '200' }, 2)).toThrow(
      /leaves no room on a balance of 200 g.*lighter vessel/,
    );
  });
});
