import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * Fixed columns: sign, 7 or 8 characters of number, a unit of two letters, a limit letter, a status letter:
 * "+00012.3 G S". Status "S" at rest, "U" moving, "E" error, when nothing else counts. Verified models put a slash
 * before the uncertified digit. A relative has a mode letter and a unit of one letter instead.
 */

const TAEL = { not: WHICH_TAEL };
const PIECES = { not: 'a count of pieces' };
const UNITS = unitTable({
  ' G': { unit: 'g' },
  ' g': { unit: 'g' },
  KG: { unit: 'kg' },
  kg: { unit: 'kg' },
  CT: { unit: 'ct' },
  OZ: { unit: 'oz' },
  LB: { unit: 'lb' },
  lb: { unit: 'lb' },
  OT: { unit: 'ozt' },
  DW: { unit: 'dwt' },
  dw: { unit: 'dwt' },
  GR: { unit: 'gr' },
  MO: { unit: 'mom' },
  mo: { unit: 'mom' },
  to: { unit: 'tola' },
  TL: TAEL,
  tl: TAEL,
  PC: PIECES,
  pc: PIECES,
  ' %': { not: 'a percentage' },
});

const ONE_LETTER = unitTable({
  G: { unit: 'g' },
  O: { unit: 'oz' },
  P: { unit: 'lb' },
  Y: { unit: 'ozt' },
  D: { unit: 'dwt' },
  K: { unit: 'ct' },
  '%': { not: 'a percentage' },
});

/** Digits filled with zeros or blanks; an integer may leave its last column blank instead of a point. */
const NUMBER = '( *)(\\d+(?:\\.\\d*)?|\\.\\d+)( ?)';
const COLUMNS = new RegExp(`^([+ -])(?=.{7,8}..[LGH ][SU ]$)${NUMBER}(..)[LGH ]([SU ])$`);
const SLASHED = /^([+ -])( *)(\d+\.\d*)\/(\d)(..)[LGH ]([SU ])$/;
/** The mode letter is never "G": a line in grams with a harmed limit letter would then read as another unit. */
const RELATIVE = /^(?=.{8} )( *)([+-])(\d+(?:\.\d+)?) [A-FH-Z ]([A-Z%])([S ])$/;
const ERROR = /^.{10,12}[LGH ]E$/;

const stable = (status: string): boolean | null => (status === 'S' ? true : status === 'U' ? false : null);

function parse(line: string): Meaning | null {
  const { length } = line;
  if (length === 3 && /^[AE]0\d$/.test(line)) return answer(line);
  if (length < 12 || length > 14) return null;
  if (length < 14 && ERROR.test(line) && /^[\x20-\x7e]+$/.test(line))
    return { kind: 'fault', what: 'the balance reports an error' };
  if (length >= 13) {
    const [, sign = '', , digits = '', last = '', unit = '', status = ''] = SLASHED.exec(line) ?? [];
    if (digits !== '') return weightIn(UNITS, unit, figureOf(sign, `${digits}${last}`), stable(status), true);
  }
  if (length > 13) return null;
  const [, sign = '', , digits = '', blank = '', unit = '', status = ''] = COLUMNS.exec(line) ?? [];
  if (digits !== '' && (blank === '' || !digits.includes('.')))
    return weightIn(UNITS, unit, figureOf(sign, digits), stable(status));
  return length === 12 ? relative(line) : null;
}

function relative(line: string): Meaning | null {
  const [, , sign = '', digits = '', unit = '', status = ''] = RELATIVE.exec(line) ?? [];
  return digits === '' ? null : weightIn(ONE_LETTER, unit, figureOf(sign, digits), status === 'S');
}

function answer(line: string): Meaning {
  if (line === 'A00') return { kind: 'noise', what: 'acknowledgement' };
  if (line === 'E04') return { kind: 'fault', what: 'tare or zero is not possible now' };
  return { kind: 'fault', what: `the balance answers ${line}` };
}

export const lettersBehind: Shape = {
  name: 'letters-behind',
  title: 'a unit of two letters, then a letter for limits and one for rest',
  sample: '+0012.34 G S',
  lines: ['1200 8N2', '9600 8N1'],
  parse,
  commands: {
    now: 'O8\r\n',
    stable: 'O9\r\n',
    stream: 'O1\r\n',
    stopStream: 'O0\r\n',
    tare: 'T \r\n',
    zero: 'T \r\n',
  },
  leastInterval: 200,
  flow: 'none',
};
