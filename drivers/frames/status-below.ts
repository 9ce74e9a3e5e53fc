import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

const UNITS = unitTable({ G: { unit: 'g' }, KG: { unit: 'kg' }, LB: { unit: 'lb' }, OZ: { unit: 'oz' } });

function parseStatusBelow(line: string): Meaning | null {
  if (/^\^{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'out-of-range', way: 'over' };
  if (/^_{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'out-of-range', way: 'under' };
  if (/^-{9} ?[A-Za-z]{0,2}$/.test(line)) return { kind: 'fault', what: 'the balance cannot find its zero' };
  if (line === '?') return { kind: 'fault', what: 'the balance does not know the command' };
  if (/^S?[0-9A-F]{2,3}$/.test(line)) return { kind: 'noise', what: 'status' };
  /* The number fills its field: a shorter one has lost characters, as where a line is read without its parity. */
  const [, sign = '', digits = '', unit = ''] =
    /^(?=[ \d.-]{7,10}[A-Z]{1,2}$) {0,6}(-?)(\d{1,6}(?:\.\d{1,5})?)([A-Z]{1,2})$/.exec(line) ?? [];
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
  /** Every second line is a status; with its letter it is as much a sign of this shape as a weight. */
  recognises: (line) => {
    const meaning = parseStatusBelow(line);
    return meaning?.kind === 'noise' && line.startsWith('S')
      ? { kind: 'not-a-weight', what: meaning.what }
      : meaning;
  },
  commands: { now: 'W\r', zero: 'Z\r' },
  leastInterval: 300,
  flow: 'none',
};
