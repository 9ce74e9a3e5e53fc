import { meaning, parts, placed } from './framed-bytes.ts';
import type { Meaning, Shape } from './shape.ts';

function parseBits(line: string): Meaning | null {
  const found = parts(line);
  if (found === null) return null;
  const [a, b, c] = found.bytes;
  const negative = (b & 0x02) !== 0;
  /* Bit 6 is clear in the first: a byte of all ones is a harmed one. */
  if ((a & 0x40) !== 0) return null;
  /* Bits 3 and 4 tell the display step (1, 2 or 5) and are never both clear. */
  if ((a & 0x18) === 0) return null;
  /* Position 2 is whole, 3 one decimal, and so on; 0 and 1 are steps of 100 and 10 (this table is from memory). */
  if ((a & 0x07) < 2)
    return { kind: 'refused', why: 'a display step of ten or more is no balance for pouring' };
  if ((b & 0x04) !== 0) return { kind: 'out-of-range', way: negative ? 'under' : 'over' };
  const unit = (c & 0x07) === 1 ? 'g' : (c & 0x07) !== 0 ? 'other' : (b & 0x10) !== 0 ? 'kg' : 'lb';
  return meaning(placed(found.digits, (a & 0x07) - 2), unit, negative, (b & 0x08) !== 0);
}

/** The status bytes hold the unit in the low bits of the third. */
export const framedBits: Shape = {
  name: 'framed-bits',
  title: 'a control byte, three status bytes with the unit in bits, twelve digits',
  sample: '<STX>, !001234000000',
  lines: ['9600 7E1', '4800 7E1', '1200 7O1'],
  parse: parseBits,
  commands: {},
  leastInterval: 300,
  flow: 'none',
};
