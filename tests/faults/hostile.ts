import { Framer } from '../../drivers/frames/framer.ts';
import { Reader } from '../../drivers/frames/reader.ts';
import type { Meaning, Shape } from '../../drivers/frames/shape.ts';
import { SHAPES } from '../../drivers/frames/shapes.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { capture } from '../unit/frames/captures.ts';
import { unaccounted, WORDS } from './conservation.ts';
import { mutate } from './mutate.ts';

/** A harmed line that was read as a mass it does not account for. */
export interface Survivor {
  readonly line: string;
  readonly why: string;
}

/** These shapes hold their point and sign in bytes that are no text; they have an account of their own. */
const IN_BYTES: readonly string[] = ['framed-bits', 'framed-codes'];

/** What a mass may be by digits, sign and status bytes of such a line; null when it accounts for the meaning. */
function unaccountedBytes(line: string, meaning: Meaning | null): string | null {
  if (meaning?.kind !== 'weight') return null;
  const [, a = '', b = '', c = '', digits = ''] =
    /^[\s\S]?\W([\x20-\x7e])([\x20-\x7e])([\x20-\x7e])([ \d]{6})[ \d]{6}$/.exec(line) ?? [];
  const whole = Number(meaning.figure.replace(/\D/g, '') || Number.NaN);
  const status = b.charCodeAt(0);
  if (Number(digits) !== whole) return 'digits';
  if (whole !== 0 && meaning.figure.startsWith('-') !== ((status & 2) !== 0)) return 'the sign';
  if (meaning.stable !== ((status & 8) === 0)) return 'rest';
  if ((status & 4) !== 0) return 'beyond the range';
  return [a, b, c].every((byte) => (byte.charCodeAt(0) & 0x20) !== 0) ? null : 'a status byte';
}

/** Why what this shape reads from the line is not accounted for by the line; null when it is. @throws Error without words */
export function unaccountedIn(shape: Shape, line: string): string | null {
  const meaning = shape.parse(line);
  if (IN_BYTES.includes(shape.name)) return unaccountedBytes(line, meaning);
  const words = WORDS[shape.name];
  if (words === undefined) throw new Error(`tests/faults/conservation.ts has no words for ${shape.name}`);
  return unaccounted(line, meaning, words);
}

/** Of harmed lines: the first that were read as a mass they do not hold, and how many were read as one that they hold. */
export interface Harmed {
  readonly survivors: readonly Survivor[];
  readonly weights: number;
}

/** Harms so many lines of the shape's capture. */
export function hostileLines(shape: Shape, count: number, seed: number, most = 10): Harmed {
  const lines = capture(shape.name).map((row) => row.line);
  const random = seeded(seed);
  const survivors: Survivor[] = [];
  let weights = 0;
  for (let k = 0; k < count && survivors.length < most; k++) {
    const line = mutate(lines[k % lines.length] ?? '', lines, random);
    const why = unaccountedIn(shape, line);
    if (why !== null) survivors.push({ line, why });
    else if (shape.parse(line)?.kind === 'weight') weights += 1;
  }
  return { survivors, weights };
}

/** Sends so many random bytes through framers and every shape, and gives whatever came out as a weight. */
export function randomBytes(count: number, seed: number): unknown[] {
  const CHUNK = 512;
  const random = seeded(seed);
  const readers = SHAPES.map((shape) => new Reader(shape));
  const framers = [new Framer(), new Framer({ sevenBits: 'even' }), new Framer({ sevenBits: 'none' })];
  const found: unknown[] = [];
  for (let k = 0; k * CHUNK < count; k++) {
    const bytes = Uint8Array.from({ length: CHUNK }, () => random() * 256);
    for (const framer of framers)
      for (const piece of framer.push(bytes, k))
        for (const reader of readers) {
          const seen = reader.read(piece);
          if (seen.kind === 'weight') found.push(seen);
        }
  }
  return found;
}
