import { figureOf } from './figure.ts';
import { type Meaning, type Shape, unitTable, weightIn } from './shape.ts';

/**
 * STX, three status bytes, six digits of weight and six of tare without sign or point: the bytes tell where the
 * point stands, the sign, the motion and the unit. A checksum byte may follow the terminator, so it stands before
 * the next STX. Two kinds differ in the meaning of the bytes.
 */

const STX = 0x02;

interface Parts {
  readonly bytes: readonly [number, number, number];
  readonly digits: string;
}

/** Six digits, blanks for leading zeros. */
function parts(line: string): Parts | null {
  const start = line.charCodeAt(0) === STX ? 0 : 1;
  if (line.charCodeAt(start) !== STX || line.length !== start + 16) return null;
  const [a = 0, b = 0, c = 0] = [1, 2, 3].map((k) => line.charCodeAt(start + k));
  const digits = line.slice(start + 4, start + 10);
  if (!/^ *\d+$/.test(digits) || !/^ *\d+$/.test(line.slice(start + 10))) return null;
  /* Bit 5 is set in each of the status bytes, bit 7 in none. */
  if ([a, b, c].some((byte) => (byte & 0xa0) !== 0x20)) return null;
  return { bytes: [a, b, c], digits: digits.trimStart() };
}

/** The point put `decimals` places from the right. */
function placed(digits: string, decimals: number): string {
  if (decimals === 0) return digits;
  const filled = digits.padStart(decimals + 1, '0');
  return `${filled.slice(0, -decimals)}.${filled.slice(-decimals)}`;
}

function meaning(digits: string, unit: string, negative: boolean, moving: boolean): Meaning {
  return weightIn(BYTE_UNITS, unit, figureOf(negative ? '-' : '', digits), !moving);
}

const BYTE_UNITS = unitTable({
  g: { unit: 'g' },
  kg: { unit: 'kg' },
  lb: { unit: 'lb' },
  oz: { unit: 'oz' },
});

function parseBits(line: string): Meaning | null {
  const found = parts(line);
  if (found === null) return null;
  const [a, b, c] = found.bytes;
  const negative = (b & 0x02) !== 0;
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
