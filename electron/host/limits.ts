import type { BalanceLimits } from '../../core/formula/types.ts';
import { Decimal, type DecimalText, decimal, plain } from '../../core/quantity/decimal.ts';
import type { Reading } from '../../core/weighing/reading.ts';

/** Readability taken while no reading has come yet: the common 0.01 g of a jewellery balance. */
const COMMON_D = new Decimal('0.01');

/** What is known of a balance beyond its figure; null where it is not. */
export interface KnownLimits {
  readonly d: DecimalText | null;
  /** Standard deviation of the latest repeatability run. */
  readonly s: DecimalText | null;
  readonly c: DecimalText | null;
  readonly capacity: DecimalText | null;
}

/** The step of the figure that is shown, g; null where no figure in grams is. */
export function shownStep(reading: Reading | null): Decimal | null {
  if (reading === null || reading.unit !== 'g') return null;
  const point = reading.g.indexOf('.');
  return new Decimal(10).pow(point < 0 ? 0 : point + 1 - reading.g.length);
}

/**
 * Limits of the balance on the bench, in g: what is known of it, else the readability as its figure shows it, the
 * calibration share 0.0001 and the capacity 200 g (common practice, no source). The repeatability is the measured one,
 * never below its floor of 0.41 d (both roundings of a net).
 */
export function limitsFor(reading: Reading | null, known?: KnownLimits): BalanceLimits {
  const d = known?.d == null ? (shownStep(reading) ?? COMMON_D) : decimal(known.d);
  const floor = d.times('0.41');
  return {
    d: plain(d),
    s: plain(Decimal.max(floor, known?.s ?? 0)),
    c: known?.c ?? '0.0001',
    capacity: known?.capacity ?? '200',
  };
}
