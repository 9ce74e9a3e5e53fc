import { Decimal, type DecimalText, plain } from '../../../core/quantity/decimal.ts';
import type { DecimalSign } from '../documents/csv.ts';

/** A figure as it stands in a cell, with the unit behind it. */
export interface CellFigure {
  readonly value: DecimalText;
  /** "%", "g", "kg", …, as written in small letters; null where none is. */
  readonly unit: string | null;
}

const SHAPE =
  /^(?:[€$£¥]|eur|usd|gbp|chf)?\s*([+-]?)\s*(\d[\d.,'’\s\u00a0\u202f]*|[.,]\d+)\s*(%|[a-zµ]+)?\s*(?:[€$£¥]|eur|usd|gbp|chf)?$/i;
const GROUPS = /['’\s\u00a0\u202f]/g;

const DECIMAL = { point: '.', comma: ',' } as const;
const OTHER = { point: 'comma', comma: 'point' } as const;

/**
 * A figure in a cell: "1 234,5 g", "0.89", "12 %", "1,234.50". Thousands may be parted by the other sign, by blanks or
 * apostrophes, in threes.
 * @returns what is wrong with it, in words, where it is none
 */
export function readFigure(text: string, sign: DecimalSign): CellFigure | string {
  const [, minus, digits, unit] = SHAPE.exec(text) ?? [];
  if (digits === undefined) return `"${text}" is not a figure`;
  const bare = digits.replace(GROUPS, '');
  const other = DECIMAL[OTHER[sign]];
  const [whole = '', ...parts] = bare.split(DECIMAL[sign]);
  if (parts.length > 1) return `"${text}" has more than one decimal ${sign}`;
  if (
    parts[0]?.includes(other) ||
    (whole.includes(other) && !new RegExp(`^\\d{1,3}(\\${other}\\d{3})+$`).test(whole))
  )
    return `"${text}" has a ${OTHER[sign]}, while decimals are read with a ${sign}`;
  const written = `${minus === '-' ? '-' : ''}${whole.replaceAll(other, '') || '0'}${parts[0] ? `.${parts[0]}` : ''}`;
  if (!/^-?\d{1,15}(\.\d{1,25})?$/.test(written)) return `"${text}" has too many digits`;
  return { value: written.replace(/^(-?)0+(?=\d)/, '$1'), unit: unit?.toLowerCase() ?? null };
}

/** What a figure alone says of the decimal sign: nothing where it could be read both ways. */
function votes(text: string): DecimalSign | null {
  const digits = SHAPE.exec(text)?.[2]?.replace(GROUPS, '');
  if (digits === undefined) return null;
  const last = Math.max(digits.lastIndexOf('.'), digits.lastIndexOf(','));
  if (last < 0) return null;
  const sign = digits[last] === ',' ? 'comma' : 'point';
  const others = digits.includes(DECIMAL[OTHER[sign]]);
  const count = digits.split(DECIMAL[sign]).length - 1;
  if (count > 1) return OTHER[sign];
  const groupLike = digits.length - last - 1 === 3 && !/^0?[.,]/.test(digits);
  return groupLike && !others ? null : sign;
}

/** Which sign stands before the decimals of a list, and how that was decided. */
export function decimalSignOf(
  cells: readonly string[],
  byDelimiter: DecimalSign,
): { readonly sign: DecimalSign; readonly told: string } {
  let comma = 0;
  let point = 0;
  let open = 0;
  for (const cell of cells) {
    const vote = votes(cell);
    if (vote === 'comma') comma += 1;
    else if (vote === 'point') point += 1;
    else if (/\d[.,]\d/.test(cell) && SHAPE.test(cell)) open += 1;
  }
  if (comma + point > 0) {
    const sign = comma > point ? 'comma' : 'point';
    const against = Math.min(comma, point);
    return {
      sign,
      told: `${Math.max(comma, point)} figures have a decimal ${sign}${against > 0 ? `, ${against} the other sign` : ''}`,
    };
  }
  if (open > 0)
    return {
      sign: byDelimiter,
      told: `no figure decides it, a ${byDelimiter} goes with this delimiter: look at figures such as 1,234`,
    };
  return { sign: byDelimiter, told: 'no figure has decimals' };
}

/** A share from a figure and what it counts in: per cent, or a fraction of one. */
export const asFraction = (value: DecimalText, unit: 'percent' | 'fraction'): DecimalText =>
  plain(new Decimal(value).div(unit === 'percent' ? 100 : 1));
