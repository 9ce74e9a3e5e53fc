import { figureOf, numberField } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

const UNITS = unitTable({
  g: { unit: 'g' },
  G: { unit: 'g' },
  kg: { unit: 'kg' },
  KG: { unit: 'kg' },
  lb: { unit: 'lb' },
  LB: { unit: 'lb' },
  oz: { unit: 'oz' },
  OZ: { unit: 'oz' },
  ct: { unit: 'ct' },
});

function parseStatusFirst(line: string): Meaning | null {
  const [, state = '', motion = '', field = '', unit = ''] =
    /^([ ZOUET])[ 0-9][GTNgtn]([M ])[\x20-\x7e]([ \d.+-]{10})([A-Za-z ]{3})$/.exec(line) ?? [];
  if (field === '') return null;
  if (state === 'O' || state === 'U') return { kind: 'out-of-range', way: state === 'U' ? 'under' : 'over' };
  if (state === 'E') return { kind: 'fault', what: 'the balance cannot find its zero' };
  if (state === 'T') return { kind: 'fault', what: 'the balance refuses the tare' };
  const number = numberField(field);
  if (number === null || field.endsWith(' ')) return null;
  return weightIn(UNITS, unit.trim(), figureOf(number.sign, number.digits), motion === ' ');
}

/** Five status characters, ten of number, three of unit, between LF and CR. */
export const statusFirst: Shape = {
  name: 'status-first',
  title: 'five status characters before the number',
  sample: ' 1G       12.34g  ',
  lines: ['9600 8N1', '19200 8N1'],
  parse: parseStatusFirst,
  commands: { now: '\nW\r', zero: '\nZ\r', tare: '\nT\r' },
  leastInterval: 200,
  flow: 'none',
};
