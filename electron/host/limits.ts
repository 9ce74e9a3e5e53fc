import type { BalanceLimits } from '../../core/formula/types.ts';
import { Decimal, plain } from '../../core/quantity/decimal.ts';
import type { Reading } from '../../core/weighing/reading.ts';

/** Readability taken while no reading has come yet: the common 0.01 g of a jewellery balance. */
const COMMON_D = new Decimal('0.01');

/**
 * Limits of the balance on the bench, in g: the readability as its figure shows it, the repeatability at its floor of
 * 0.41 d (both roundings of a net), the calibration share 0.0001 and the capacity 200 g (common practice, no source).
 */
export function limitsFor(reading: Reading | null): BalanceLimits {
  const point = reading?.g.indexOf('.') ?? -1;
  const decimals = reading === null || point < 0 ? 0 : reading.g.length - point - 1;
  const d = reading === null || reading.unit !== 'g' ? COMMON_D : new Decimal(10).pow(-decimals);
  return { d: plain(d), s: plain(d.times('0.41')), c: '0.0001', capacity: '200' };
}
