import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * Two headers: state, then gross or net: "ST,GS,+  12.34g". Makers place the commas, the sign and the unit
 * differently, so the line is read by tokens inside a number field of checked width. "OL" is beyond the range either
 * way; its number is never read.
 */

const PIECES = { not: 'a count of pieces' } as const;
const CATTY = { not: 'catty, which differs from country to country; set the balance to grams' } as const;

const UNITS = unitTable({
  g: { unit: 'g' },
  G: { unit: 'g' },
  kg: { unit: 'kg' },
  KG: { unit: 'kg' },
  mg: { unit: 'mg' },
  ct: { unit: 'ct' },
  CT: { unit: 'ct' },
  oz: { unit: 'oz' },
  ozt: { unit: 'ozt' },
  lb: { unit: 'lb' },
  LB: { unit: 'lb' },
  dwt: { unit: 'dwt' },
  GN: { unit: 'gr' },
  'tl.T': { not: WHICH_TAEL },
  'tl.H': { not: WHICH_TAEL },
  'tl.J': { not: WHICH_TAEL },
  tl: { not: WHICH_TAEL },
  TL: { not: WHICH_TAEL },
  ctty: { not: CATTY.not },
  PCS: PIECES,
  pcs: PIECES,
  '%': { not: 'a percentage' },
});

/** Sign, in its own column or before the digits, and digits right-aligned by blanks; 6 to 9 characters in all. */
const FIELD = '(?=[ +\\-0-9.]{6,9}(?:$|[^ +\\-0-9.]| [A-Za-z%])) *([+-]?) *(\\d{1,8}(?:\\.\\d{1,7})?)';
const HEADERS = '(ST|US),(?:GS|NT|G |N )';
const UNIT = '([A-Za-z%][A-Za-z.]{0,3})';

const WEIGHTS = [
  /** Commas after both headers; the unit glued or after one blank. */
  new RegExp(`^${HEADERS},${FIELD} ?${UNIT} {0,3}$`),
  /** One comma only; the unit glued, blanks behind it. */
  new RegExp(`^${HEADERS}${FIELD}${UNIT} {0,3}$`),
  /** A comma before the unit. */
  new RegExp(`^${HEADERS}${FIELD}, {0,2}${UNIT} {0,2}$`),
];

/** A channel number as second header, and the tare as a further field. */
const CHANNEL = new RegExp(
  `^(ST|US),[1-9], {0,6}([+-]?) {0,6}(\\d{1,8}(?:\\.\\d{1,7})?)${UNIT}(?:, {0,6}[+-]? {0,6}\\d{1,8}(?:\\.\\d{1,7})?\\4)?$`,
);
const OVERLOAD = /^OL,(?:GS|NT|G |N |[1-9]),?[ +\-0-9.]{0,10}(?:,? {0,2}[A-Za-z%][A-Za-z.]{0,3})? {0,3}$/;
const ALL = [...WEIGHTS, CHANNEL];
const LONG = [CHANNEL];
const MAX_LENGTH = 21;
const MAX_CHANNEL_LENGTH = 32;

function weight(line: string): Meaning | null {
  const candidates = line.length <= MAX_LENGTH ? ALL : line.length <= MAX_CHANNEL_LENGTH ? LONG : [];
  for (const pattern of candidates) {
    const [, header = '', sign = '', digits = '', unit = ''] = pattern.exec(line) ?? [];
    if (header !== '') return weightIn(UNITS, unit, figureOf(sign, digits), header === 'ST');
  }
  return null;
}

function parse(line: string): Meaning | null {
  if (line.startsWith('OL') && OVERLOAD.test(line))
    return { kind: 'out-of-range', way: line.slice(5).includes('-') ? 'under' : 'over' };
  const found = weight(line);
  if (found !== null) return found;
  if (/^ {0,8}\d{1,8} ?(?:PCS|pcs)$/.test(line)) return { kind: 'not-a-weight', what: PIECES.not };
  if (line === 'OK') return { kind: 'noise', what: 'acknowledgement' };
  const error = /^ERR ?(\d{1,3})$/.exec(line);
  if (error !== null) return { kind: 'fault', what: `the balance reports error ${error[1]}` };
  return null;
}

export const twoHeaded: Shape = {
  name: 'two-headed',
  title: 'two headers, the second says gross or net',
  sample: 'ST,GS,+  12.34g',
  lines: ['9600 8N1'],
  parse,
  /** Words with a terminator: models that take bare letters act only on the first letter of ZERO and TARE. */
  begins: /^(?:ST|US|OL),(?:GS|NT|G |N )/,
  commands: { now: 'READ\r\n', tare: 'TARE\r\n', zero: 'ZERO\r\n' },
  leastInterval: 150,
  flow: 'none',
};
