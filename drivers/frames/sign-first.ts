import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * Sign in column 1, value in 3 to 10 right-aligned, unit in 12 to 14, blank while the reading moves:
 * "+    12.34 g  ". By menu six characters of identity go before: "N     +    12.34 g  ". Words in the value field
 * ("High", "Low", "--", "Err 054") are states. In printer mode an uncertified digit stands in brackets and moves the
 * unit by one. A relative attaches the sign to the digits.
 */

const UNITS = unitTable({
  'g  ': { unit: 'g' },
  'kg ': { unit: 'kg' },
  'mg ': { unit: 'mg' },
  'ct ': { unit: 'ct' },
  'lb ': { unit: 'lb' },
  'oz ': { unit: 'oz' },
  ozt: { unit: 'ozt' },
  'gr ': { unit: 'gr' },
  dwt: { unit: 'dwt' },
  tlh: { unit: 'tael-hk' },
  tlt: { unit: 'tael-tw' },
  tls: { not: WHICH_TAEL },
  pcs: { not: 'a count of pieces' },
  '%  ': { not: 'a percentage' },
});

const LENGTH = 14;
const IDENTITY = 6;
const BLANK_UNIT = '   ';

/** Value in 3 to 10; the tenth character is a blank where the last digit is held back until rest. */
const VALUE = /^([+ -]) ( *)(\d+(?:\.\d*)?)( ?) (.{3})$/;
/** The relative: value with its sign attached, right-aligned to column 10. */
const ATTACHED = /^ {0,8}([+-]?)(\d+(?:\.\d+)?) (.{3})$/;
const BRACKETS = /^([+-]) {0,9}(\d+\.\d*)\[(\d)\](?: (\S{1,3} *)| {2,4}|(\S{1,3} *))$/;

function values(line: string): Meaning | null {
  if (line.length !== LENGTH) return null;
  const [, sign = '', , digits = '', held = '', unit = ''] = VALUE.exec(line) ?? [];
  if (digits !== '') {
    const figure = figureOf(sign, digits);
    if (unit !== BLANK_UNIT) return held === '' ? weightIn(UNITS, unit, figure, true) : null;
    return figure === null ? null : { kind: 'weight', figure, unit: 'blank', stable: false };
  }
  const [, joined = '', plain = '', behind = ''] = ATTACHED.exec(line) ?? [];
  return plain === '' || behind === BLANK_UNIT
    ? null
    : weightIn(UNITS, behind, figureOf(joined, plain), true);
}

function bracketed(line: string): Meaning | null {
  if (line.length !== LENGTH && line.length !== LENGTH + 1) return null;
  const match = BRACKETS.exec(line);
  if (match === null) return null;
  const [, sign = '', digits = '', last = '', apart, glued] = match;
  const figure = figureOf(sign, `${digits}${last}`);
  const unit = (apart ?? glued ?? '').trimEnd();
  if (unit === '')
    return figure === null
      ? null
      : { kind: 'weight', figure, unit: 'blank', stable: false, uncertified: true };
  return weightIn(UNITS, unit.padEnd(3), figure, true, true);
}

const WORDS: readonly (readonly [RegExp, Meaning])[] = [
  [/^(?:High|H|HH)$/, { kind: 'out-of-range', way: 'over' }],
  [/^(?:Low|L|LL)$/, { kind: 'out-of-range', way: 'under' }],
  [/^--$/, { kind: 'noise', what: 'no reading yet' }],
  [/^(?:Cal\.\S{0,5}|C)$/, { kind: 'noise', what: 'the balance is calibrating' }],
  [/^OFF$/, { kind: 'noise', what: 'the balance is on standby' }],
];

function words(line: string): Meaning | null {
  const word = /^ {2,9}(\S+(?: \d{1,3})?) *$/.exec(line)?.[1];
  if (word === undefined || line.length !== LENGTH) return null;
  if (/^(?:Err|ERR) ?\d{1,3}$|^(?:APP|DIS|PRT|COMM|SYS)\.ERR$/.test(word))
    return { kind: 'fault', what: `the balance reports ${word}` };
  return WORDS.find(([pattern]) => pattern.test(word))?.[1] ?? null;
}

function parse(line: string): Meaning | null {
  const plain = values(line) ?? bracketed(line) ?? words(line);
  if (plain !== null) return plain;
  if (!/^(?:[A-Za-z0-9][A-Za-z0-9.#-]{0,5})? *$/.test(line.slice(0, IDENTITY))) return null;
  const rest = line.slice(IDENTITY);
  return values(rest) ?? bracketed(rest) ?? words(rest);
}

export const signFirst: Shape = {
  name: 'sign-first',
  title: 'the sign first, then blanks; no unit while it moves',
  sample: '+    12.34 g  ',
  lines: ['9600 8O1', '1200 7O1'],
  parse,
  commands: { now: '\x1bP\r\n', tare: '\x1bU\r\n', zero: '\x1bV\r\n', identify: '\x1bx1_\r\n' },
  leastInterval: 200,
  flow: 'none',
};
