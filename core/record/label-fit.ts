import type { LabelText } from './label.ts';
import { wrap } from './wrap.ts';

/** The least size that is printed, in points: smaller is not read at the bench. */
export const LEAST_SIZE = 6;
/** Side of a code's smallest square that office printers and scanners manage, mm (common practice, no source). */
export const LEAST_MODULE = 0.25;
/** Squares larger than this gain nothing on a bottle, mm. */
export const MOST_MODULE = 0.5;
/** Distance of baselines by size. */
export const LEADING = 1.22;
export const MM = 25.4 / 72;

export type LabelFace = 'text' | 'strong' | 'title';
/** Width in mm of a text on one line, at a size in points. */
export type Measure = (text: string, face: LabelFace, size: number) => number;

/** One line as it lies on the label: its left end and baseline in mm from the upper left corner, its size in points. */
export interface PlacedLine {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly size: number;
  readonly face: LabelFace;
}

/** A label laid out. */
export interface FittedLabel {
  readonly lines: readonly PlacedLine[];
  /** Upper left corner and side of the code, its light border included; null where it has no room. */
  readonly code: { readonly x: number; readonly y: number; readonly side: number } | null;
  /** What is left out or shortened, each in words; empty when all is there. */
  readonly left: readonly string[];
  /** Not even name, strength and lot code have room at the least size. */
  readonly fits: boolean;
}

/** What a label is laid out on: its size in mm, and how many squares its code has across, light border included. */
export interface LabelGround {
  readonly width: number;
  readonly height: number;
  readonly modules: number;
}

export interface Block {
  readonly text: string;
  readonly face: LabelFace;
  readonly size: number;
}

export const NOTHING: FittedLabel = { lines: [], code: null, left: [], fits: false };

const sized = (size: number, scale: number): number => Math.max(LEAST_SIZE, Math.round(size * scale * 4) / 4);
/** From large to small; at the last everything is at the least size. */
const SCALES = Array.from({ length: 23 }, (_, i) => 1.5 - i * 0.05);

/** What is given up, one after another, until the rest has room. */
type GivenUp = 'maker' | 'kind' | 'cautions' | 'date' | 'best before' | 'pointer' | 'code';
const GIVEN_UP: readonly GivenUp[] = ['maker', 'kind', 'cautions', 'date', 'best before', 'pointer', 'code'];

export const CODE_LEFT = 'the code to scan is left out';

const SAID: Readonly<Record<GivenUp, string>> = {
  maker: 'the maker is left out',
  kind: 'note and family are left out',
  cautions: 'the cautions are left out but for a line that names the suppliers’ documents',
  date: 'the date is left out',
  'best before': 'best before is left out',
  pointer: 'the cautions are left out whole',
  code: CODE_LEFT,
};

function blocksOf(text: LabelText, without: ReadonlySet<GivenUp>): Block[] {
  const dates = [without.has('date') ? null : text.date, without.has('best before') ? null : text.bestBefore];
  const cautions = without.has('cautions') ? text.pointer : text.cautions;
  const block = (words: string | null, face: LabelFace, size: number): Block[] =>
    words === null || words === '' ? [] : [{ text: words, face, size }];
  return [
    ...block(text.name, 'title', 12),
    ...block(without.has('kind') ? null : text.kind, 'text', 7),
    ...block(text.strength, 'strong', 8.5),
    ...block(`lot ${text.code}`, 'strong', 8),
    ...block(dates.filter((one) => one !== null).join(' · '), 'text', 7.5),
    ...block(without.has('pointer') ? null : cautions, 'text', 6.5),
    ...block(without.has('maker') ? null : text.maker, 'text', 7),
  ];
}

/** Room between text and edge, mm. */
const padOf = ({ width, height }: LabelGround): number => (Math.min(width, height) < 20 ? 1.2 : 2);

function codeOn(ground: LabelGround): FittedLabel['code'] {
  const pad = padOf(ground);
  const side = Math.min(
    MOST_MODULE * ground.modules,
    ground.height - 2 * pad,
    0.38 * (ground.width - 2 * pad),
  );
  return side < LEAST_MODULE * ground.modules ? null : { x: ground.width - pad - side, y: pad, side };
}

/** The blocks one under another; null where they are higher than the label. */
function stacked(
  blocks: readonly Block[],
  ground: LabelGround,
  code: FittedLabel['code'],
  measure: Measure,
  scale: number,
): PlacedLine[] | null {
  const pad = padOf(ground);
  const full = ground.width - 2 * pad;
  const beside = code === null ? full : code.x - 1.5 - pad;
  let y = pad;
  const lines: PlacedLine[] = [];
  for (const { text, face, size: wanted } of blocks) {
    const size = sized(wanted, scale);
    const width = code !== null && y < code.y + code.side + 0.5 ? beside : full;
    for (const line of wrap(text, width, (part) => measure(part, face, size))) {
      y += size * MM * LEADING;
      lines.push({
        text: line,
        x: pad,
        y: y - size * MM * 0.28,
        width: measure(line, face, size),
        size,
        face,
      });
    }
    y += 0.3;
  }
  const wide = lines.every((line) => line.x + line.width <= ground.width - pad + 0.05);
  return wide && y - 0.3 <= ground.height - pad * 0.6 ? lines : null;
}

/** At the largest scale at which it has room; null at none. */
function largest(
  blocks: readonly Block[],
  ground: LabelGround,
  code: FittedLabel['code'],
  measure: Measure,
): PlacedLine[] | null {
  for (const scale of SCALES) {
    const lines = stacked(blocks, ground, code, measure, scale);
    if (lines !== null) return lines;
  }
  return null;
}

/** The longest beginning of a name, with a mark that it is cut, for which `fits` gives something. */
export function shortened<T>(
  name: string,
  fits: (name: string) => T | null,
): { name: string; got: T } | null {
  const letters = [...name];
  let low = 1;
  let high = letters.length - 1;
  let best: { name: string; got: T } | null = null;
  while (low <= high) {
    const middle = Math.floor((low + high) / 2);
    const cut = `${letters.slice(0, middle).join('').trimEnd()}…`;
    const got = fits(cut);
    if (got === null) high = middle - 1;
    else {
      best = { name: cut, got };
      low = middle + 1;
    }
  }
  return best;
}

export const shortenedText = (name: string): string => `the name is shortened to “${name}”`;

/**
 * Lays out the label of a bottle: writing shrinks and wraps down to the least size; then, one after another, maker,
 * note and family, cautions (but for a line that defers), date, best before and code are given up, and the name is cut.
 */
export function fitBottle(text: LabelText, ground: LabelGround, measure: Measure): FittedLabel {
  const room = codeOn(ground);
  const none = room === null ? [SAID.code] : [];
  for (let given = 0; given <= GIVEN_UP.length; given += 1) {
    const without = new Set(GIVEN_UP.slice(0, given));
    const code = without.has('code') ? null : room;
    const lines = largest(blocksOf(text, without), ground, code, measure);
    if (lines === null) continue;
    const gone = [...without].filter((one) => (one === 'code' ? room !== null : hadIt(text, one, without)));
    return { lines, code, left: [...none, ...gone.map((one) => SAID[one])], fits: true };
  }
  return bareBottle(text, ground, measure);
}

/** Name, strength alone and lot code at the least size; the name is cut where it must be. */
function bareBottle(text: LabelText, ground: LabelGround, measure: Measure): FittedLabel {
  const without = new Set(GIVEN_UP);
  const at = (name: string): PlacedLine[] | null =>
    stacked(blocksOf({ ...text, name, strength: text.short }, without), ground, null, measure, 0);
  const whole = at(text.name);
  const cut = whole === null ? shortened(text.name, at) : { name: text.name, got: whole };
  if (cut === null) return NOTHING;
  return {
    lines: cut.got,
    code: null,
    left: [
      ...(whole === null ? [shortenedText(cut.name)] : []),
      ...(text.strength === text.short ? [] : ['solvent and uncertainty are left out']),
      ...GIVEN_UP.filter((one) => hadIt(text, one, without)).map((one) => SAID[one]),
    ],
    fits: true,
  };
}

/** Whether what is given up had been there to give. */
function hadIt(text: LabelText, one: GivenUp, without: ReadonlySet<GivenUp>): boolean {
  if (one === 'maker') return text.maker !== null;
  if (one === 'kind') return text.kind !== null && text.kind !== '';
  if (one === 'date') return text.date !== null;
  if (one === 'best before') return text.bestBefore !== null;
  /* Where the line that defers goes too, only that is said. */
  return one !== 'cautions' || !without.has('pointer');
}
