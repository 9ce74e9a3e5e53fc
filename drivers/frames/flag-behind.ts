import { figureOf, numberField } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

const SOH = '\x01';

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

function parseFlagBehind(line: string): Meaning | null {
  if (!line.startsWith(SOH) || line.length !== 12) return null;
  const [, sign = '', field = '', unit = '', flag = ''] =
    /^([+-])(.{7})([A-Za-z ]{2})([01])$/.exec(line.slice(1)) ?? [];
  const number = numberField(field);
  if (number === null || number.sign !== '' || field.endsWith(' ')) return null;
  return weightIn(UNITS, unit.trim(), figureOf(sign, number.digits), flag === '0');
}

/** Begins with SOH and ends with "0" at rest or "1" while it moves. */
export const flagBehind: Shape = {
  name: 'flag-behind',
  title: 'a control byte, the sign, and 0 or 1 at the end',
  sample: '<SOH>+  12.34 g0',
  lines: ['9600 8N1'],
  parse: parseFlagBehind,
  commands: {},
  leastInterval: 300,
  flow: 'none',
};
