import { figureOf } from './figure.ts';
import { type Meaning, unitTable, weightIn } from './shape.ts';

/**
 * STX, three status bytes, six digits of weight and six of tare without sign or point: the bytes tell where the
 * point stands, the sign, the motion and the unit. A checksum byte may follow the terminator, so it stands before
 * the next STX. Two kinds differ in the meaning of the bytes.
 */

const STX = 0x02;

export interface Parts {
  readonly bytes: readonly [number, number, number];
  readonly digits: string;
}

/** Six digits, blanks for leading zeros. */
export function parts(line: string): Parts | null {
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
export function placed(digits: string, decimals: number): string {
  if (decimals === 0) return digits;
  const filled = digits.padStart(decimals + 1, '0');
  return `${filled.slice(0, -decimals)}.${filled.slice(-decimals)}`;
}

export function meaning(digits: string, unit: string, negative: boolean, moving: boolean): Meaning {
  return weightIn(BYTE_UNITS, unit, figureOf(negative ? '-' : '', digits), !moving);
}

const BYTE_UNITS = unitTable({
  g: { unit: 'g' },
  kg: { unit: 'kg' },
  lb: { unit: 'lb' },
  oz: { unit: 'oz' },
});
