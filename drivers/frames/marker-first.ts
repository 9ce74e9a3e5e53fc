import { figureOf, numberField } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * A stability mark before the number, and in replies the echoed command before that: "SI ?       18.5 kg ". The mark
 * is blank at rest, "?" moving, "^" and "v" beyond the range. Fields have fixed columns; the print key sends the same
 * without the echo. Verified models print a field of 11 with their last digit marked.
 */

const UNITS = unitTable({
  'g  ': { unit: 'g' },
  'kg ': { unit: 'kg' },
  'mg ': { unit: 'mg' },
  'ct ': { unit: 'ct' },
  'lb ': { unit: 'lb' },
  'oz ': { unit: 'oz' },
  ozt: { unit: 'ozt' },
  dwt: { unit: 'dwt' },
  'gr ': { unit: 'gr' },
  mom: { unit: 'mom' },
  tlh: { unit: 'tael-hk' },
  tlt: { unit: 'tael-tw' },
  tls: { not: WHICH_TAEL },
  'N  ': { not: 'a force in newton' },
  pcs: { not: 'a count of pieces' },
  '%  ': { not: 'a percentage' },
});

/** Mark, blank, sign, nine characters of number, blank, three of unit. */
const FIELDS = '([ ?^v]) ([ -])(.{9}) (.{3})$';
const ECHO = '(?:S  |SI |SU |SUI|C1 |CU1)';
const LAYOUTS = [
  { length: 19, pattern: new RegExp(`^${ECHO}${FIELDS}`) },
  { length: 20, pattern: new RegExp(`^${ECHO} ${FIELDS}`) },
  { length: 16, pattern: new RegExp(`^${FIELDS}`) },
  { length: 18, pattern: /^([ ?^v]) ([ -])(.{11}) (.{3})$/ },
] as const;

/** Takes the marks off an uncertified last digit: "12.3[4]" or "12.3/4". */
function unmarked(field: string): { digits: string; marked: boolean } | null {
  const marked = /^( *\d+\.\d*)(?:\[(\d)\]|\/(\d))$/.exec(field);
  const text = marked === null ? field : `${marked[1]}${marked[2] ?? marked[3] ?? ''}`;
  const number = numberField(text);
  if (number === null || number.sign !== '' || /\s$/.test(field)) return null;
  return { digits: number.digits, marked: marked !== null };
}

function weight(line: string): Meaning | null {
  const layout = LAYOUTS.find(({ length, pattern }) => length === line.length && pattern.test(line));
  if (layout === undefined) return null;
  const [, mark = '', sign = '', field = '', unit = ''] = layout.pattern.exec(line) ?? [];
  if (mark === '^' || mark === 'v') return { kind: 'out-of-range', way: mark === 'v' ? 'under' : 'over' };
  const number = unmarked(field);
  if (number === null || (number.marked && line.length !== 18)) return null;
  return weightIn(UNITS, unit, figureOf(sign, number.digits), mark === ' ', number.marked);
}

const FAULTS: Readonly<Record<string, string>> = {
  I: 'the balance cannot execute the command now',
  E: 'the reading did not come to rest in time',
  '^': 'tare or zero was refused: the load is out of range',
  v: 'tare or zero was refused: the load is out of range',
};

function replies(line: string): Meaning | null {
  if (line === 'ES') return { kind: 'fault', what: 'the balance does not know the command' };
  const answer = /^(?:S|SI|SU|SUI|C[01]|CU[01]|Z|T|OT|UT|NB|RV|BN|FS|PC) ([ADIE^v])(?: ".*")?$/.exec(line);
  if (answer === null) return null;
  const fault = FAULTS[answer[1] ?? ''];
  return fault === undefined
    ? { kind: 'noise', what: 'answer to a command' }
    : { kind: 'fault', what: fault };
}

export const markerFirst: Shape = {
  name: 'marker-first',
  title: 'a question mark before the number while it moves',
  sample: 'SI         12.34 g  ',
  lines: ['9600 8N1', '4800 8N1'],
  parse: (line) => weight(line) ?? replies(line),
  commands: {
    now: 'SI\r\n',
    stable: 'S\r\n',
    stream: 'C1\r\n',
    stopStream: 'C0\r\n',
    tare: 'T\r\n',
    zero: 'Z\r\n',
    identify: 'NB\r\n',
  },
  leastInterval: 200,
  flow: 'none',
};
