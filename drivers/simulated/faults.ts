import { LinkTrouble } from '../link/balance.ts';
import type { Dialect } from './dialect.ts';
import type { Display } from './indicator.ts';
import type { Random } from './seeded.ts';

/** What can go wrong with the simulated balance, by name. */
export const FAULTS = {
  unplug: 'the cable is pulled',
  silence: 'nothing is sent any more',
  'torn-line': 'one line in three breaks off before its end',
  'glued-lines': 'one line in three loses its terminator',
  'wrong-unit': 'the display was switched to carat',
  'count-mode': 'the display was switched to counting pieces',
  'parity-noise': 'one byte in fifty has a flipped bit',
  'slow-drip': 'something drips onto the pan, 2 mg/s',
  'low-battery': 'a battery message between the lines, every fifth line missing',
  stuck: 'the display stands still and calls itself at rest',
} as const;
export type FaultName = keyof typeof FAULTS;

/** @throws LinkTrouble "unsupported" that lists the names there are */
export function faultNamed(name: string): FaultName {
  const found = (Object.keys(FAULTS) as FaultName[]).find((one) => one === name);
  if (found !== undefined) return found;
  throw new LinkTrouble(
    'unsupported',
    `There is no fault "${name}".`,
    name,
    `Choose one of: ${Object.keys(FAULTS).join(', ')}.`,
  );
}

export const DRIP_G_PER_S = 0.002;
const CARATS_PER_GRAM = 5;
const GRAMS_PER_PIECE = 0.025;

/** The display and its unit text as this fault makes the balance show them. */
export function shown(
  fault: FaultName | null,
  display: Display,
  d: number,
  dialect: Dialect,
): [Display, string] {
  const { counts } = display;
  const { units } = dialect;
  if (fault === 'wrong-unit' && units.ct !== undefined)
    return [{ ...display, counts: counts === null ? null : counts * CARATS_PER_GRAM }, units.ct];
  if (fault === 'count-mode' && units.pcs !== undefined) {
    const pieces = counts === null ? null : Math.round((counts * d) / GRAMS_PER_PIECE);
    return [{ ...display, counts: pieces, decimals: 0 }, units.pcs];
  }
  return [display, units.g];
}

/** @throws LinkTrouble "unsupported" when balances of this shape cannot show it */
export function checkFault(fault: FaultName | null, dialect: Dialect): void {
  const missing =
    (fault === 'wrong-unit' && dialect.units.ct === undefined) ||
    (fault === 'count-mode' && dialect.units.pcs === undefined);
  if (missing)
    throw new LinkTrouble(
      'unsupported',
      `The simulated balance has no "${fault}" in the shape "${dialect.shape}".`,
      dialect.shape,
      'Choose another shape or another fault.',
    );
}

/** The text as it leaves the socket under this fault; null for nothing. `n` counts the lines. */
export function harmed(fault: FaultName | null, text: string, n: number, random: Random): string | null {
  switch (fault) {
    case 'silence':
    case 'unplug':
      return null;
    case 'torn-line':
      return random() < 1 / 3 ? text.slice(0, Math.floor(random() * text.length)) : text;
    case 'glued-lines':
      return random() < 1 / 3 ? text.replace(/\s+$/, '') : text;
    case 'low-battery':
      return n % 5 === 0 ? null : n % 5 === 1 ? `LO BAT\r\n${text}` : text;
    default:
      return text;
  }
}

/** Bytes with one in fifty harmed by a flipped bit. */
export const noisy = (bytes: Uint8Array, random: Random): Uint8Array =>
  bytes.map((byte) => (random() < 0.02 ? byte ^ (1 << Math.floor(random() * 8)) : byte));
