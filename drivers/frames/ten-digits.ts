import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

/**
 * Column 1 blank or "M", column 2 blank or "-", ten characters of number right-aligned to column 12, a blank, the
 * unit in 14 to 16: "       12.34 g  ". While it moves the unit is blank, or left out together with its columns.
 */

const UNITS = unitTable({
  'g  ': { unit: 'g' },
  'kg ': { unit: 'kg' },
  'mg ': { unit: 'mg' },
  'ct ': { unit: 'ct' },
  pcs: { not: 'a count of pieces' },
  '%  ': { not: 'a percentage' },
});

const LINE = /^[ M]([ -])(?=.{10} )( *)(\d+(?:\.\d+)?) (.{3}|)$/;

function parse(line: string): Meaning | null {
  if (/^ {7}(?: {4})?Error$/.test(line)) return { kind: 'fault', what: 'the balance reports an error' };
  if (line.length !== 16 && line.length !== 13) return null;
  const [, sign = '', blanks = '', digits = '', unit = ''] = LINE.exec(line) ?? [];
  if (digits === '' || blanks.length + digits.length !== 10) return null;
  const figure = figureOf(sign, digits);
  if (!/^ *$/.test(unit)) return weightIn(UNITS, unit, figure, true);
  return figure === null ? null : { kind: 'weight', figure, unit: 'blank', stable: false };
}

export const tenDigits: Shape = {
  name: 'ten-digits',
  title: 'a blank or M, ten characters of number, the unit missing while it moves',
  sample: '       12.34 g  ',
  lines: ['9600 8N1'],
  parse,
  commands: { now: 'w\r\n', stable: 's\r\n', tare: 't\r\n' },
  leastInterval: 200,
  flow: 'none',
};
