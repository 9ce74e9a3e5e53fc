import { meaning, parts, placed } from './framed-bytes.ts';
import type { Meaning, Shape } from './shape.ts';

function parseCodes(line: string): Meaning | null {
  const found = parts(line);
  if (found === null) return null;
  const [a, b, c] = found.bytes;
  const negative = (b & 0x02) !== 0;
  if ((b & 0x04) !== 0) return { kind: 'out-of-range', way: negative ? 'under' : 'over' };
  if (a < 0x22 || a > 0x27) return null;
  const unit = c === 0x23 ? 'oz' : c !== 0x21 ? 'other' : (b & 0x10) !== 0 ? 'kg' : 'g';
  return meaning(placed(found.digits, a - 0x22), unit, negative, (b & 0x08) !== 0);
}

/** The first byte counts decimals from 22h, the third is a code of the unit. */
export const framedCodes: Shape = {
  name: 'framed-codes',
  title: 'a control byte, three status bytes with the unit as a code, twelve digits',
  sample: '<STX>$ !001234000000',
  lines: ['9600 8N1', '9600 7E1'],
  parse: parseCodes,
  commands: {},
  leastInterval: 300,
  flow: 'none',
};
