/**
 * The figure of a line as plain decimal text: sign joined to the digits, leading zeros dropped, every decimal kept
 * ("-  0012.340" is "-12.340", "+00000.00" is "0.00"). Minus zero is zero.
 * @param sign "-" for negative; "+", "" or blanks for positive
 * @param digits digits with at most one point, which may be first or last (".05", "12.")
 * @returns null when `digits` is anything else or has more than 15 digits before or 12 after the point
 */
export function figureOf(sign: string, digits: string): string | null {
  if (!/^(\d{1,15}(\.\d{0,12})?|\.\d{1,12})$/.test(digits)) return null;
  const [whole = '', decimals = ''] = digits.split('.');
  const plain = whole.replace(/^0+(?=\d)/, '') || '0';
  const text = decimals === '' ? plain : `${plain}.${decimals}`;
  return sign.trim() === '-' && /[1-9]/.test(text) ? `-${text}` : text;
}

/**
 * A number that fills a field of fixed width, padded on the left with blanks only.
 * @returns sign and digits apart, or null when the field holds anything else
 */
export function numberField(field: string): { sign: string; digits: string } | null {
  const match = /^ *([+-]?) *(\d+(?:\.\d*)?|\.\d+) *$/.exec(field);
  if (match === null) return null;
  return { sign: match[1] ?? '', digits: match[2] ?? '' };
}
