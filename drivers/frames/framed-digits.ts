import { figureOf } from './figure.ts';
import type { Meaning, Shape } from './shape.ts';

const STX = '\x02';

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
  /** A withheld weight is as much a sign of this shape as a weight. */
  recognises: (line) =>
    parseFramedDigits(line) === NOT_AT_REST
      ? { kind: 'weight', figure: '0.0', unit: 'none', stable: false }
      : parseFramedDigits(line),
  commands: { now: 'W', zero: 'Z', tare: 'T' },
  leastInterval: 300,
  flow: 'none',
};
