import Papa from 'papaparse';
import { Decimal } from '../../../core/quantity/decimal.ts';

/** How numbers are written: with a point, cells parted by commas; or with a comma, cells parted by semicolons. */
export type DecimalSign = 'point' | 'comma';

/** A number in a table, as plain decimal text; everything else in a table is text and stays as it is. */
export class Figure {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

export type CsvCell = string | Figure;

/** A figure, or an empty cell where there is none. */
export const figure = (text: string | null): CsvCell => (text === null ? '' : new Figure(text));

/** A fraction in per cent, to the sixth decimal. */
export const percentFigure = (fraction: string): CsvCell =>
  new Figure(new Decimal(fraction).times(100).toDecimalPlaces(6).toFixed());

/**
 * Rows as CSV (RFC 4180: lines end in CR LF, cells with signs are quoted). Text that a spreadsheet would take for a
 * formula is defused by an apostrophe before it; figures are not text and keep their sign.
 */
export function csv(rows: readonly (readonly CsvCell[])[], sign: DecimalSign): string {
  const written = rows.map((row) =>
    row.map((cell) => {
      if (typeof cell === 'string') return cell;
      return sign === 'comma' ? cell.text.replace('.', ',') : cell.text;
    }),
  );
  const escapeFormulae = /^[=+@\t\r]|^-(?!\d+([.,]\d+)?$)/;
  const delimiter = sign === 'comma' ? ';' : ',';
  return `${Papa.unparse(written, { newline: '\r\n', delimiter, escapeFormulae })}\r\n`;
}
