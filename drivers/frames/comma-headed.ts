import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * One header, a comma, the sign, then digits that fill their field with zeros: "ST,+00012.34  g". The unit stands
 * right-aligned in three characters. The same hardware sends by menu: the fields with separators (semicolons when
 * its decimal sign is a comma), a second header of a comparator, a headed dump of 16 characters, lines without
 * header, a two-letter status, and a bare number. The header alone decides; the number of an "OL" line is never read.
 */

const UNITS = unitTable({
  '  g': { unit: 'g' },
  ' kg': { unit: 'kg' },
  ' mg': { unit: 'mg' },
  ' ct': { unit: 'ct' },
  ozt: { unit: 'ozt' },
  ' oz': { unit: 'oz' },
  ' lb': { unit: 'lb' },
  dwt: { unit: 'dwt' },
  ' GN': { unit: 'gr' },
  mom: { unit: 'mom' },
  '  t': { unit: 'tola' },
  ' tl': { not: WHICH_TAEL },
  '  N': { not: 'a force in newton' },
  ' PC': { not: 'a count of pieces' },
  '  %': { not: 'a percentage' },
  ' DS': { not: 'a density' },
});

/** The same texts without their blanks, for the variants that do not align them so. */
const BARE_UNITS = new Map([...UNITS].map(([text, meaning]) => [text.trim(), meaning]));

const ERRORS: Readonly<Record<string, string>> = {
  '0': 'communication error (parity or speed); check the line settings',
  '1': 'the balance does not know the command',
  '2': 'the balance is not ready',
  '3': 'the balance waited too long for the rest of a command',
  '4': 'too many characters in a command',
  '6': 'the balance refuses the form of a command',
  '7': 'a value out of range in a command',
  '11': 'the reading is not at rest; tare or zero was refused',
};

/** Sign and zero-filled digits of 8 or 9 characters, the point among them. */
const NUMBER = '([+-])(\\d{1,8}\\.\\d{1,8}|\\d{8,9})';
const isField = (digits: string): boolean => digits.length === 8 || digits.length === 9;

const STANDARD = new RegExp(`^(ST|US|QT),${NUMBER}(.{3})$`);
const COMPARATOR = new RegExp(`^(ST|US|QT),(?:LO|OK|HI|--),${NUMBER}(.{3})$`);
const OVERLOAD = /^OL,(?:(?:LO|OK|HI|--),)?([+-])(?:\d{1,8}\.\d{0,8}|\d{8,9}|9{7}E\+19)(?:[ A-Za-z%]{3})?$/;

/** Identity, date and time fields that the separated form may put before the header. */
const BEFORE =
  '(?:(?!(?:ST|US|QT|OL){s})[A-Za-z0-9][A-Za-z0-9_-]{0,14}{s} ?\\d{2,4}[/.-]\\d\\d[/.-]\\d{2,4}{s} ?\\d\\d:\\d\\d:\\d\\d(?: ?[AP]M)?{s} ?)?';
const separated = (s: string, point: string): { weight: RegExp; over: RegExp } => ({
  weight: new RegExp(
    `^${BEFORE.replaceAll('{s}', s)}(ST|US|QT)${s}([+-])(\\d{1,8}${point}\\d{1,8}|\\d{8,9})${s}(.{3})$`,
  ),
  over: new RegExp(
    `^${BEFORE.replaceAll('{s}', s)}OL${s}([+-])(?:\\d{1,8}${point}\\d{0,8}|\\d{8,9}|9{7}E\\+19)${s}.{3}$`,
  ),
});
const WITH_COMMAS = separated(',', '\\.');
const WITH_SEMICOLONS = separated(';', ',');

function headed(header: string, sign: string, digits: string, unit: string): Meaning | null {
  if (!isField(digits)) return null;
  const figure = figureOf(sign, digits.replace(',', '.'));
  if (header === 'QT') {
    const counted = weightIn(UNITS, unit, figure, true);
    return counted.kind === 'weight'
      ? { kind: 'refused', why: 'a count that carries a unit of mass' }
      : counted;
  }
  return weightIn(UNITS, unit, figure, header === 'ST');
}

const outOfRange = (sign: string): Meaning => ({
  kind: 'out-of-range',
  way: sign === '-' ? 'under' : 'over',
});

function headers(line: string): Meaning | null {
  for (const pattern of [OVERLOAD, WITH_COMMAS.over, WITH_SEMICOLONS.over]) {
    const over = pattern.exec(line);
    if (over !== null) return outOfRange(over[1] ?? '');
  }
  for (const pattern of [STANDARD, COMPARATOR, WITH_COMMAS.weight, WITH_SEMICOLONS.weight]) {
    const [, header = '', sign = '', digits = '', unit = ''] = pattern.exec(line) ?? [];
    if (header !== '') return headed(header, sign, digits, unit);
  }
  return null;
}

/** 16 characters: "WT" at rest or "US", blanks, sign directly before the digits, unit; no sign at zero and beyond the range. */
function dump(line: string): Meaning | null {
  if (line.length !== 16) return null;
  const over = /^(?:WT|US) +([+-]?)E *(?:.{3})$/.exec(line);
  if (over !== null) return outOfRange(over[1] ?? '');
  const [, header = '', sign = '', digits = '', unit = ''] =
    /^(WT|US) +([+-]?)(\d+(?:\.\d+)?)(.{3})$/.exec(line) ?? [];
  if (header === '') return null;
  if (sign === '' && /[1-9]/.test(digits)) return { kind: 'refused', why: 'a number without its sign' };
  return weightIn(UNITS, unit, figureOf(sign, digits), header === 'WT');
}

/** 14 characters: sign, number, and a unit only at rest; "H" or "L" beyond the range. */
function headerless(line: string): Meaning | null {
  if (line.length !== 14) return null;
  const over = /^ {3,10}([HL]) *$/.exec(line);
  if (over !== null) return outOfRange(over[1] === 'L' ? '-' : '+');
  const [, sign = '', digits = ''] = /^([+-]) {0,9}(\d+(?:\.\d+)?) {0,2}$/.exec(line.slice(0, 11)) ?? [];
  const unit = line.slice(11);
  if (digits === '' || !/^(?:\S+ *| *\S+| {3})$/.test(unit)) return null;
  const figure = figureOf(sign, digits);
  if (unit.trim() !== '') return weightIn(BARE_UNITS, unit.trim(), figure, true);
  return figure === null ? null : { kind: 'weight', figure, unit: 'blank', stable: false };
}

/** "S  12.34 g" at rest, "SD 12.34 g" moving, "SI+" and "SI-" beyond the range; a sign only when negative. */
function twoLetters(line: string): Meaning | null {
  if (line === 'SI+' || line === 'SI-') return outOfRange(line.slice(2));
  const [, status = '', sign = '', digits = '', unit = ''] =
    /^(S {2}|SD) *(-?)(\d+(?:\.\d+)?) (\S{1,3})$/.exec(line) ?? [];
  if (status === '') return null;
  return weightIn(BARE_UNITS, unit, figureOf(sign, digits), status !== 'SD');
}

function answers(line: string): Meaning | null {
  const error = /^EC,E0?(\d{1,2})$/.exec(line);
  if (error !== null) {
    const code = error[1] ?? '';
    return { kind: 'fault', what: ERRORS[code] ?? `the balance reports error ${code}` };
  }
  if (line === '\x06') return { kind: 'noise', what: 'acknowledgement' };
  if (/^(?:Q|S|SI|SIR|C|R|Z|T|PRT|U)$/.test(line)) return { kind: 'noise', what: 'echo of a command' };
  if (/^[+-]\d{1,8}\.\d{1,8}$|^[+-]\d{8,9}$/.test(line) && (line.length === 9 || line.length === 10))
    return {
      kind: 'refused',
      why: 'a number without unit or status; choose a format with the unit in the menu of the balance',
    };
  return null;
}

export const commaHeaded: Shape = {
  name: 'comma-headed',
  title: 'one header and a comma, zeros before the digits',
  sample: 'ST,+00012.34  g',
  lines: ['2400 7E1', '9600 8N1'],
  parse: (line) => headers(line) ?? dump(line) ?? headerless(line) ?? twoLetters(line) ?? answers(line),
  /** Its lines without header are laid out like "sign-first" and are read only where this shape was chosen. */
  recognises: (line) => headers(line) ?? dump(line) ?? twoLetters(line),
  begins: /^(?:ST|US|QT|OL),/,
  commands: {
    now: 'Q\r\n',
    stable: 'S\r\n',
    stream: 'SIR\r\n',
    stopStream: 'C\r\n',
    tare: 'R\r\n',
    zero: 'Z\r\n',
    identify: '?ID\r\n',
  },
  leastInterval: 100,
  flow: 'none',
};
