import { Decimal } from '../quantity/decimal.ts';

/** Coverage factor of every expanded uncertainty: about 95 % for a normal distribution (JCGM 100:2008, 6.2 and 6.3). */
export const COVERAGE = 2;

const zero = new Decimal(0);

/** One input of a result: how much the result moves with it, and its standard uncertainty. */
export interface Term {
  readonly name: string;
  readonly sensitivity: Decimal;
  readonly u: Decimal;
}

/** Covariance of two inputs, by their names; each pair is given once. */
export interface Covariance {
  readonly a: string;
  readonly b: string;
  readonly covariance: Decimal;
}

/** Standard uncertainty of a quantity known to lie within +-halfWidth, every value as likely: a / sqrt 3 (JCGM 100, 4.3.7). */
export const rectangular = (halfWidth: Decimal): Decimal => halfWidth.div(new Decimal(3).sqrt());

/** The same where values near the middle are likelier: a / sqrt 6 (JCGM 100, 4.3.9). */
export const triangular = (halfWidth: Decimal): Decimal => halfWidth.div(new Decimal(6).sqrt());

/** Standard uncertainty of a sum of independent parts. */
export const rootSum = (parts: readonly Decimal[]): Decimal =>
  parts.reduce((sum, part) => sum.plus(part.times(part)), zero).sqrt();

/**
 * Combined standard uncertainty by the law of propagation: u^2 = sum (c_i u_i)^2 + 2 sum c_i c_j u(x_i, x_j)
 * (JCGM 100:2008, equations 10 and 13).
 * @throws RangeError when a covariance names an input that is not given, or when the covariances leave a negative u^2
 */
export function combined(terms: readonly Term[], covariances: readonly Covariance[] = []): Decimal {
  const sensitivity = new Map(terms.map((term) => [term.name, term.sensitivity]));
  let variance = zero;
  for (const { sensitivity: c, u } of terms) variance = variance.plus(c.times(u).pow(2));
  for (const { a, b, covariance } of covariances) {
    const ca = sensitivity.get(a);
    const cb = sensitivity.get(b);
    if (ca === undefined || cb === undefined)
      throw new RangeError(`a covariance names "${ca === undefined ? a : b}", which is no input`);
    variance = variance.plus(ca.times(cb).times(covariance).times(2));
  }
  if (variance.isNegative() && variance.abs().gt('1e-30'))
    throw new RangeError(`the covariances do not belong together: u^2 = ${variance.toString()}`);
  return Decimal.max(variance, zero).sqrt();
}
