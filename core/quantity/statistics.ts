import { Decimal } from './decimal.ts';

/**
 * Arithmetic mean, in decimal.
 * @throws RangeError for no values
 */
export function mean(values: readonly Decimal[]): Decimal {
  if (values.length === 0) throw new RangeError('the mean of no values is not known');
  return values.reduce((sum, value) => sum.plus(value), new Decimal(0)).div(values.length);
}

/**
 * Standard deviation of a sample, denominator n - 1, by two passes in decimal so that no digit is lost.
 * @throws RangeError for fewer than two values
 */
export function standardDeviation(values: readonly Decimal[]): Decimal {
  if (values.length < 2) throw new RangeError('a standard deviation needs at least two values');
  const centre = mean(values);
  const squares = values.reduce((sum, value) => sum.plus(value.minus(centre).pow(2)), new Decimal(0));
  return squares.div(values.length - 1).sqrt();
}

/** Standard deviation of the mean of repeated values: sd over the square root of n. @throws RangeError as above */
export const standardError = (values: readonly Decimal[]): Decimal =>
  standardDeviation(values).div(new Decimal(values.length).sqrt());
