import fc from 'fast-check';
import type { CorrectionLine, CorrectionRules } from '../../../core/pour/correction.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';

/** A line with round figures; everything can be changed. */
export function line(
  id: string,
  target: string,
  poured: string,
  more: Partial<CorrectionLine> = {},
): CorrectionLine {
  const t = new Decimal(target);
  return {
    id,
    title: `${id} oil`,
    target: t,
    half: Decimal.max(t.times('0.01'), '0.01'),
    poured: new Decimal(poured),
    drop: new Decimal('0.02'),
    qs: false,
    solvent: false,
    accepted: false,
    stock: null,
    price: null,
    ...more,
  };
}

export const rules = (more: Partial<CorrectionRules> = {}): CorrectionRules => ({
  tolerance: new Decimal('0.01'),
  d: new Decimal('0.01'),
  vesselRoom: null,
  balanceRoom: null,
  ...more,
});

/** Masses as a 0.01 g balance shows them. */
const centigrams = (min: number, max: number): fc.Arbitrary<Decimal> =>
  fc.integer({ min, max }).map((count) => new Decimal(count).div(100));

const anyLine = (id: string): fc.Arbitrary<CorrectionLine> =>
  fc
    .record({
      target: fc.oneof(centigrams(2, 300), centigrams(300, 20_000)),
      /** Poured over target, in parts per thousand; 0 is not poured yet. */
      share: fc.oneof(fc.constant(0), fc.integer({ min: 970, max: 1030 }), fc.integer({ min: 1, max: 1500 })),
      drop: fc.integer({ min: 8, max: 40 }).map((mg) => new Decimal(mg).div(1000)),
    })
    .map(({ target, share, drop }) => {
      const poured = target.times(share).div(1000).toDecimalPlaces(2);
      return line(id, target.toFixed(), poured.toFixed(), { drop });
    });

/** One to twelve lines, some poured, some over, some still to come. */
export const anyLines: fc.Arbitrary<CorrectionLine[]> = fc
  .integer({ min: 1, max: 12 })
  .chain((count) => fc.tuple(...Array.from({ length: count }, (_, i) => anyLine(`l${i}`))));

export const anyRules: fc.Arbitrary<CorrectionRules> = fc
  .constantFrom('0', '0.002', '0.01', '0.05')
  .map((tolerance) => rules({ tolerance: new Decimal(tolerance) }));
