import { describe, expect, it } from 'vitest';
import { Framer } from '../../drivers/frames/framer.ts';
import { Reader } from '../../drivers/frames/reader.ts';
import { SHAPES, shapeNamed } from '../../drivers/frames/shapes.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { capture } from '../unit/frames/captures.ts';
import { unaccounted, WORDS } from './conservation.ts';
import { mutate } from './mutate.ts';

const LINES = Number(process.env.HOSTILE_LINES ?? 50_000);

const wordsOf = (name: string) => {
  const words = WORDS[name];
  if (words === undefined) throw new Error(`tests/faults/conservation.ts has no words for ${name}`);
  return words;
};

/** Two shapes hold their point and sign in bytes that are no text; they have an account of their own below. */
const TEXTUAL = SHAPES.filter(({ name }) => name !== 'framed-bits' && name !== 'framed-codes');

describe.each(TEXTUAL.map((shape) => [shape.name, shape] as const))('hostile lines for %s', (name, shape) => {
  const lines = capture(name).map((row) => row.line);
  const words = wordsOf(name);

  it('has an account of every weight of its own capture', () => {
    for (const line of lines)
      expect([line, unaccounted(line, shape.parse(line), words)]).toEqual([line, null]);
  });

  it(`gives no mass that the line does not account for, in ${LINES} mutated lines`, () => {
    const random = seeded(4);
    const survivors: [string, string][] = [];
    for (let k = 0; k < LINES; k++) {
      const line = mutate(lines[k % lines.length] ?? '', lines, random);
      const why = unaccounted(line, shape.parse(line), words);
      if (why !== null) survivors.push([line, why]);
    }
    expect(survivors.slice(0, 10)).toEqual([]);
  });
});

describe.each(['framed-bits', 'framed-codes'])('hostile lines for %s', (name) => {
  const shape = shapeNamed(name);
  const lines = capture(name).map((row) => row.line);

  it(`gives no mass but that of its digits, sign and status bytes, in ${LINES} mutated lines`, () => {
    const random = seeded(5);
    const survivors: string[] = [];
    for (let k = 0; k < LINES; k++) {
      const line = mutate(lines[k % lines.length] ?? '', lines, random);
      const meaning = shape.parse(line);
      if (meaning?.kind !== 'weight') continue;
      const [, a = '', b = '', c = '', digits = ''] =
        /^[\s\S]?\W([\x20-\x7e])([\x20-\x7e])([\x20-\x7e])([ \d]{6})[ \d]{6}$/.exec(line) ?? [];
      const whole = Number(meaning.figure.replace(/\D/g, '') || Number.NaN);
      const fine =
        Number(digits) === whole &&
        (whole === 0 || meaning.figure.startsWith('-') === ((b.charCodeAt(0) & 2) !== 0)) &&
        meaning.stable === ((b.charCodeAt(0) & 8) === 0) &&
        (b.charCodeAt(0) & 4) === 0 &&
        [a, b, c].every((byte) => (byte.charCodeAt(0) & 0x20) !== 0);
      if (!fine) survivors.push(line);
    }
    expect(survivors.slice(0, 10)).toEqual([]);
  });
});

describe('the account itself', () => {
  const words = wordsOf('comma-headed');
  const weight = (figure: string, unit: string, stable: boolean) =>
    ({ kind: 'weight', figure, unit, stable }) as const;
  it.each([
    ['ST,+00012.34  g', weight('12.3', 'g', true), 'digits'],
    ['ST,+00012.34  g', weight('1.234', 'g', true), 'decimals'],
    ['ST,-00012.34  g', weight('12.34', 'g', true), 'sign'],
    ['ST,+00012.34 kg', weight('12.34', 'g', true), 'unit'],
    ['US,+00012.34  g', weight('12.34', 'g', true), 'called stable'],
    ['ST,+00012.34 xg', weight('12.34', 'g', true), 'unit'],
    ['ST,+00012.34\x07 g', weight('12.34', 'g', true), 'not printable'],
  ] as const)('sees through %j read wrongly', (line, meaning, why) => {
    expect(unaccounted(line, meaning, words)).toContain(why);
  });
});

describe('random bytes', () => {
  it('go through framer and every shape without a crash and without a weight', () => {
    const random = seeded(9);
    const readers = SHAPES.map((shape) => new Reader(shape));
    const framers = [new Framer(), new Framer({ sevenBits: 'even' }), new Framer({ sevenBits: 'none' })];
    const found: unknown[] = [];
    for (let k = 0; k < 400; k++) {
      const bytes = Uint8Array.from({ length: 512 }, () => random() * 256);
      for (const framer of framers)
        for (const piece of framer.push(bytes, k))
          for (const reader of readers) {
            const seen = reader.read(piece);
            if (seen.kind === 'weight') found.push(seen);
          }
    }
    expect(found).toEqual([]);
  });
});
