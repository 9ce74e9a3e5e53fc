import { Decimal, type DecimalText, decimal, isDecimalText } from './decimal.ts';

/** A unit of mass: exactly `coefficient` times ten to the power of `exponent` grams. */
export interface MassUnit {
  readonly name: string;
  readonly coefficient: bigint;
  readonly exponent: number;
}

const unit = (name: string, coefficient: bigint, exponent: number): MassUnit => ({
  name,
  coefficient,
  exponent,
});

/**
 * Units of mass by code, each an exact count of grams. Values: NIST SP 811 (2008) appendix B.8 and NIST Handbook 44
 * appendix C; momme and the taels as in the definitions file of GNU units. A tael is only known with its variety.
 */
export const MASS_UNITS: Readonly<Record<string, MassUnit>> = {
  g: unit('gram', 1n, 0),
  kg: unit('kilogram', 1n, 3),
  mg: unit('milligram', 1n, -3),
  ct: unit('metric carat', 2n, -1),
  gr: unit('grain', 6_479_891n, -8),
  dwt: unit('pennyweight', 155_517_384n, -8),
  ozt: unit('troy ounce', 311_034_768n, -7),
  oz: unit('ounce', 28_349_523_125n, -9),
  lb: unit('pound', 45_359_237n, -5),
  dr: unit('dram', 17_718_451_953_125n, -13),
  scr: unit('scruple', 12_959_782n, -7),
  mom: unit('momme', 375n, -2),
  tola: unit('tola', 116_638_038n, -7),
  'tael-hk': unit('tael of Hong Kong', 3_779_936_375n, -8),
  'tael-tw': unit('tael of Taiwan', 375n, -1),
  'tael-cn': unit('tael of China', 5n, 1),
};

const TAEL = /^(tael|tl|tahil)\b/i;

/** Why a tael without its variety is no mass, and what to do. */
export const WHICH_TAEL =
  'there are several taels, from 37.5 g to 50 g; say tael-hk, tael-tw or tael-cn, or use grams';

/**
 * The unit of mass with this code.
 * @throws RangeError when it is unknown, or a tael whose variety is not said
 */
export function massUnit(code: string): MassUnit {
  if (Object.hasOwn(MASS_UNITS, code)) {
    const found = MASS_UNITS[code];
    if (found !== undefined) return found;
  }
  if (TAEL.test(code)) throw new RangeError(`"${code}" is not one mass: ${WHICH_TAEL}`);
  throw new RangeError(`"${code}" is no unit of mass; known are ${Object.keys(MASS_UNITS).join(', ')}`);
}

/**
 * Grams of `value` in the unit `code`, exactly.
 * @throws RangeError when the text is not plain decimal or the unit is unknown
 */
export function toGrams(value: DecimalText, code: string): Decimal {
  const { coefficient, exponent } = massUnit(code);
  return decimal(value).times(new Decimal(`${coefficient}e${exponent}`));
}

/**
 * Grams of a figure in the unit `code` as decimal text: the exact product, which keeps the decimals the figure was
 * written with, so that a resolution can still be read off: "0.100" kg is "100", "1.00" ct is "0.200".
 * @throws RangeError when the figure is not plain decimal or the unit is unknown
 */
export function gramsKeepingDigits(figure: DecimalText, code: string): DecimalText {
  if (code === 'g' && isDecimalText(figure)) return figure;
  const { coefficient, exponent } = massUnit(code);
  if (!isDecimalText(figure)) throw new RangeError(`"${figure}" is not a plain decimal number`);
  const negative = figure.startsWith('-');
  const [whole = '0', decimals = ''] = (negative ? figure.slice(1) : figure).split('.');
  const product = BigInt(whole + decimals) * coefficient;
  const scale = decimals.length - exponent;
  const digits =
    scale <= 0 ? (product * 10n ** BigInt(-scale)).toString() : product.toString().padStart(scale + 1, '0');
  const text = scale <= 0 ? digits : `${digits.slice(0, -scale)}.${digits.slice(-scale)}`;
  return negative ? `-${text}` : text;
}
