import { Decimal as Base } from 'decimal.js';

/**
 * Decimal arithmetic of the whole program: 40 significant digits, half-even rounding.
 * Masses are grams; a decimal text such as "0.100" keeps its digits until it enters a sum.
 */
export const Decimal = Base.clone({
  precision: 40,
  rounding: Base.ROUND_HALF_EVEN,
  toExpNeg: -30,
  toExpPos: 30,
});
export type Decimal = Base;

/** A number written in plain decimal text, "-0.05" or "12.340"; never an exponent. */
export type DecimalText = string;

const PLAIN = /^-?\d{1,15}(\.\d{1,25})?$/;

/** Whether `text` is plain decimal text (no exponent, no spaces, a point as decimal sign). */
export const isDecimalText = (text: string): boolean => PLAIN.test(text);

/**
 * Reads plain decimal text.
 * @throws RangeError naming the text, when it is anything else
 */
export function decimal(text: DecimalText): Decimal {
  if (!isDecimalText(text)) throw new RangeError(`"${text}" is not a plain decimal number`);
  return new Decimal(text);
}

/** Count of decimals written in a plain decimal text: "0.100" has 3. */
export function decimalsOf(text: DecimalText): number {
  const point = text.indexOf('.');
  return point < 0 ? 0 : text.length - point - 1;
}

/** Writes a decimal with a fixed count of decimals; minus zero is written as zero. */
export function fixed(value: Decimal, decimals: number): DecimalText {
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** The edges of a window with a fixed count of decimals, rounded inwards: what is written lies inside. */
export const inwards = (
  low: Decimal,
  high: Decimal,
  decimals: number,
): { low: DecimalText; high: DecimalText } => ({
  low: fixed(low.toDecimalPlaces(decimals, Base.ROUND_CEIL), decimals),
  high: fixed(high.toDecimalPlaces(decimals, Base.ROUND_FLOOR), decimals),
});

/** Writes a decimal exactly, without exponent and without trailing zeros. */
export function plain(value: Decimal): DecimalText {
  return fixed(value, Math.max(0, value.decimalPlaces()));
}
