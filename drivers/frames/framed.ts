import { figureOf, numberField } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

/** Shapes of bench and shop scales that frame their text with control bytes. */

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

const STX = '\x02';
const SOH = '\x01';

const NOT_AT_REST: Meaning = { kind: 'noise', what: 'no weight while it moves' };

/** "STX ? s": bits of s are 0 motion, 1 over, 2 under zero; 5 and 6 are always set. */
function withheld(status: number): Meaning | null {
  if ((status & 0x60) !== 0x60) return null;
  if ((status & 0x02) !== 0) return { kind: 'out-of-range', way: 'over' };
  if ((status & 0x04) !== 0) return { kind: 'out-of-range', way: 'under' };
  return NOT_AT_REST;
}

function parseFramedDigits(line: string): Meaning | null {
  if (!line.startsWith(STX)) return null;
  const rest = line.slice(1);
  if (rest.length === 2 && rest.startsWith('?')) return withheld(rest.charCodeAt(1));
  const digits = /^(?=.{5,7}N?$)(\d{1,6}(?:\.\d{1,4})?)N?$/.exec(rest)?.[1];
  const figure = digits === undefined ? null : figureOf('', digits);
  return figure === null ? null : { kind: 'weight', figure, unit: 'none', stable: true };
}

/** Begins with the control byte STX and holds digits only; sent at rest, or a status byte instead. */
export const framedDigits: Shape = {
  name: 'framed-digits',
  title: 'a control byte, then digits without unit or sign',
  sample: '<STX>012.34',
  lines: ['9600 7E1', '9600 8N1'],
  parse: parseFramedDigits,
  commands: { now: 'W', zero: 'Z', tare: 'T' },
  leastInterval: 300,
  flow: 'none',
};

function parseStatusBelow(line: string): Meaning | null {
  if (/^\^{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'out-of-range', way: 'over' };
  if (/^_{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'out-of-range', way: 'under' };
  if (/^-{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'fault', what: 'the balance cannot find its zero' };
  if (line === '?') return { kind: 'fault', what: 'the balance does not know the command' };
  if (/^S?[0-9A-F]{2,3}$/.test(line)) return { kind: 'noise', what: 'status' };
  const [, sign = '', digits = '', unit = ''] =
    /^(?=.{7,12}$) {0,6}(-?)(\d{1,6}(?:\.\d{1,5})?)([A-Z]{1,2})$/.exec(line) ?? [];
  if (digits === '') return null;
  return weightIn(UNITS, unit, figureOf(sign, digits), null);
}

/** A weight on one line, two or three status characters on the next, which ends with ETX. */
export const statusBelow: Shape = {
  name: 'status-below',
  title: 'weight on one line, status on the next',
  sample: '0012.34G',
  lines: ['9600 7E1', '9600 8N1'],
  parse: parseStatusBelow,
  commands: { now: 'W\r', zero: 'Z\r' },
  leastInterval: 300,
  flow: 'none',
};

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
