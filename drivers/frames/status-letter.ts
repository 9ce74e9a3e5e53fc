import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * Replies with a status letter: command letter, blank, status, blank, ten characters of number right-aligned with
 * the minus attached, blank, unit: "S S      12.34 g". "S" at rest, "D" moving, "+" and "-" beyond the range.
 */

const UNITS = unitTable({
  g: { unit: 'g' },
  kg: { unit: 'kg' },
  mg: { unit: 'mg' },
  ct: { unit: 'ct' },
  oz: { unit: 'oz' },
  ozt: { unit: 'ozt' },
  GN: { unit: 'gr' },
  dwt: { unit: 'dwt' },
  mom: { unit: 'mom' },
  lb: { unit: 'lb' },
  tlh: { unit: 'tael-hk' },
  tlt: { unit: 'tael-tw' },
  tls: { not: WHICH_TAEL },
  PCS: { not: 'a count of pieces' },
  '%': { not: 'a percentage' },
  'lb:oz': { not: 'pounds and ounces in one figure' },
});

const WEIGHT = /^S ([SD]) (?=.{10} )( *)(-?)(\d{1,9}(?:\.\d{1,8})?) (\S{1,5})$/;
const COMPOUND = /^S [SD] {1,10}-?\d+:\d+(?:\.\d+)? lb:oz$/;
/** Width of the number with the blanks before it. */
const FIELD = 10;

const FAULTS: Readonly<Record<string, string>> = {
  ES: 'the balance does not know the command',
  ET: 'transmission error (parity or speed); check the line settings',
  EL: 'the balance cannot execute the command',
  I: 'the balance is busy or did not come to rest in time',
  L: 'the balance refuses a parameter of a command',
};

function replies(line: string): Meaning | null {
  const [, command = '', status = ''] = /^(S|SI|SIR|T|TI|TA|Z|ZI|TAC) ([IL+-])$/.exec(line) ?? [];
  if (status === '+' || status === '-') {
    if (command.startsWith('S')) return { kind: 'out-of-range', way: status === '-' ? 'under' : 'over' };
    return { kind: 'fault', what: 'tare or zero was refused: the load is out of range' };
  }
  const fault = FAULTS[status] ?? FAULTS[line];
  if (fault !== undefined) return { kind: 'fault', what: fault };
  if (/^S S +Error +\d{1,3}[a-z]$/.test(line))
    return { kind: 'fault', what: `the balance reports a defect: ${line.slice(4).trim()}` };
  if (/^(?:Z|ZI|T|TI|TA|TAC|D|K|@|[A-Z]{1,2}\d{1,2}) [ABSD](?: .{1,40})?$/.test(line))
    return { kind: 'noise', what: 'answer to a command' };
  return null;
}

function parse(line: string): Meaning | null {
  const [, status = '', blanks = '', sign = '', digits = '', unit = ''] = WEIGHT.exec(line) ?? [];
  if (status !== '') {
    if (blanks.length + sign.length + digits.length !== FIELD) return null;
    return weightIn(UNITS, unit, figureOf(sign, digits), status === 'S');
  }
  if (COMPOUND.test(line)) return { kind: 'not-a-weight', what: 'pounds and ounces in one figure' };
  return replies(line);
}

export const statusLetter: Shape = {
  name: 'status-letter',
  title: 'a command letter and a status letter before the number',
  sample: 'S S      12.34 g',
  lines: ['9600 8N1', '2400 7E1'],
  parse,
  begins: /^S [SDI+-]/,
  commands: {
    now: 'SI\r\n',
    stable: 'S\r\n',
    stream: 'SIR\r\n',
    stopStream: 'SI\r\n',
    tare: 'T\r\n',
    zero: 'Z\r\n',
    identify: 'I4\r\n',
  },
  leastInterval: 100,
  flow: 'xonxoff',
};
