import type { LabelText } from './label.ts';
import {
  type Block,
  CODE_LEFT,
  type FittedLabel,
  type LabelGround,
  LEADING,
  LEAST_MODULE,
  LEAST_SIZE,
  type Measure,
  MM,
  MOST_MODULE,
  NOTHING,
  type PlacedLine,
  shortened,
  shortenedText,
} from './label-fit.ts';
import { partsOf } from './wrap.ts';

/** A name cut shorter than this tells nothing: the code to scan is given up first. */
const SHORTEST = 6;

/** Lines of a lid, from the top: centred, each as wide as the circle is where it lies; null where one is too long. */
function inCircle(
  blocks: readonly Block[],
  side: number,
  diameter: number,
  measure: Measure,
): { readonly lines: PlacedLine[]; readonly code: FittedLabel['code'] } | null {
  const radius = diameter / 2 - (diameter < 16 ? 0.5 : 0.8);
  const centre = diameter / 2;
  const heights = blocks.map(({ size }) => size * MM * LEADING);
  const gap = side > 0 ? 0.4 : 0;
  const whole = heights.reduce((sum, high) => sum + high, 0) + gap + side;
  let y = -whole / 2;
  const chord = (from: number, to: number): number => {
    const far = Math.max(Math.abs(from), Math.abs(to));
    return far >= radius ? 0 : 2 * Math.sqrt(radius * radius - far * far);
  };
  const lines: PlacedLine[] = [];
  for (const [i, { text, face, size }] of blocks.entries()) {
    const high = heights[i] ?? 0;
    const width = measure(text, face, size);
    /* What counts is the height of the letters, not of the line. */
    if (width > chord(y + high * 0.14, y + high * 0.86)) return null;
    lines.push({ text, x: centre - width / 2, y: centre + y + high * 0.76, width, size, face });
    y += high;
  }
  if (side === 0) return { lines, code: null };
  y += gap;
  if (side > chord(y, y + side) + 0.3) return null;
  return { lines, code: { x: centre - side / 2, y: centre + y, side } };
}

/** Beginnings of a name's lines: every way to part it between words into `count`, the evenest few. */
function parted(words: readonly string[], count: number): string[][] {
  const ways: string[][] = [];
  const go = (from: number, lines: readonly string[]): void => {
    if (lines.length === count - 1) {
      ways.push([...lines, words.slice(from).join('')].map((line) => line.trim()));
      return;
    }
    for (let to = from + 1; to < words.length; to += 1) go(to, [...lines, words.slice(from, to).join('')]);
  };
  if (words.length >= count && words.length <= 30) go(0, []);
  const longest = (lines: readonly string[]): number => Math.max(...lines.map((line) => line.length));
  return ways.sort((a, b) => longest(a) - longest(b)).slice(0, 4);
}

/** The name as one, two or three lines. */
function nameLines(name: string): string[][] {
  const words = partsOf(name);
  return [[name], ...parted(words, 2), ...parted(words, 3)];
}

const SIZES = [9, 8.5, 8, 7.5, 7, 6.5, 6] as const;

interface Lid {
  readonly lines: PlacedLine[];
  readonly code: FittedLabel['code'];
}

/** Lot code, name and strength, and under them the code to scan, at the largest size that has room. */
function lay(
  text: LabelText,
  name: string | null,
  side: number,
  diameter: number,
  measure: Measure,
): Lid | null {
  for (const size of SIZES)
    for (const lines of name === null ? [[]] : nameLines(name)) {
      const small = Math.max(LEAST_SIZE, size - 1);
      const code: Block = { text: text.code, face: 'text', size: small };
      const title = lines.map((line): Block => ({ text: line, face: 'title', size }));
      const strength: Block = { text: text.short, face: 'strong', size: small };
      /* A long code has more room under the name than in the narrow top of the circle. */
      const found =
        inCircle([code, ...title, strength], side, diameter, measure) ??
        inCircle([...title, strength, code], side, diameter, measure);
      if (found !== null) return found;
    }
  return null;
}

/**
 * Lays out the round label of a lid: lot code, name, strength, and the code to scan. A name that has no room at the
 * least size gives way to that of the one material the lot is of; else it is cut, with a mark that it is; then the code
 * to scan is given up, and last the name.
 * @param ground its width is the diameter
 */
export function fitLid(text: LabelText, ground: LabelGround, measure: Measure): FittedLabel {
  const diameter = ground.width;
  const least = LEAST_MODULE * ground.modules;
  const most = Math.min(MOST_MODULE * ground.modules, diameter * 0.4);
  const sides = [...new Set([most, (most + least) / 2, least])].filter((side) => side >= least);
  const at = (name: string, side: number): Lid | null => lay(text, name, side, diameter, measure);
  for (const side of [...sides, 0]) {
    const none = side > 0 ? [] : [CODE_LEFT];
    const whole = at(text.name, side);
    if (whole !== null) return { ...whole, left: none, fits: true };
    if (side > least) continue;
    const material = text.material === null ? null : at(text.material, side);
    if (material !== null)
      return {
        ...material,
        left: [`the name has no room: the lid says “${text.material}”`, ...none],
        fits: true,
      };
    const cut = shortened(text.name, (name) => at(name, side));
    if (cut !== null && (side === 0 || [...cut.name].length > SHORTEST))
      return { ...cut.got, left: [shortenedText(cut.name), ...none], fits: true };
  }
  const bare = [...sides.slice(-1), 0].map((side) => ({
    side,
    got: lay(text, null, side, diameter, measure),
  }));
  const found = bare.find(({ got }) => got !== null);
  if (found === undefined || found.got === null) return NOTHING;
  const none = found.side > 0 ? [] : [CODE_LEFT];
  return {
    ...found.got,
    left: ['the name is left out: lot code and strength stand alone', ...none],
    fits: true,
  };
}
