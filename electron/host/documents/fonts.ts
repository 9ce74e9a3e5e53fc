import { readFileSync } from 'node:fs';
import { fontLibrary, packageFile } from './libraries.ts';

/** Faces of the documents. */
export type Face = 'text' | 'strong' | 'title';

/** A family as it is packed: one file for each part of the alphabets. */
interface Pack {
  readonly name: string;
  readonly parts: readonly string[] | 'numbered';
  readonly weight: Readonly<Record<Face, string>>;
}

const WESTERN = [
  'latin',
  'latin-ext',
  'vietnamese',
  'greek',
  'greek-ext',
  'cyrillic',
  'cyrillic-ext',
] as const;
const INTER: Pack = { name: 'inter', parts: WESTERN, weight: { text: '400', strong: '600', title: '600' } };
const SERIF: Pack = {
  name: 'source-serif-4',
  parts: WESTERN,
  weight: { text: '400', strong: '600', title: '600' },
};
/** Kana and the characters of JIS X 0208, one weight. */
const EASTERN: Pack = {
  name: 'kosugi',
  parts: 'numbered',
  weight: { text: '400', strong: '400', title: '400' },
};

/** What a letter is looked for in, the first that has it. */
const ORDER: Readonly<Record<Face, readonly Pack[]>> = {
  text: [INTER, EASTERN],
  strong: [INTER, EASTERN],
  title: [SERIF, INTER, EASTERN],
};

/* Of WOFF 2 the parts of composed letters cannot be taken apart by the library; WOFF is the plain font, deflated. */
const pathOf = (pack: Pack, part: string, weight: string): string =>
  packageFile(`@fontsource/${pack.name}/files/${pack.name}-${part}-${weight}-normal.woff`);

interface Ranged {
  readonly part: string;
  readonly ranges: readonly (readonly [number, number])[];
}

const partsOf = new Map<string, readonly Ranged[]>();

/** The parts of a pack with the code points each is for, as the package itself lists them. */
function ranged(pack: Pack): readonly Ranged[] {
  const known = partsOf.get(pack.name);
  if (known !== undefined) return known;
  const list = JSON.parse(
    readFileSync(packageFile(`@fontsource/${pack.name}/unicode.json`), 'utf8'),
  ) as Record<string, string>;
  const made = Object.entries(list)
    .map(([key, text]) => ({ part: key.replace(/^\[(.*)\]$/, '$1'), ranges: rangesOf(text) }))
    .filter(({ part }) => pack.parts === 'numbered' || pack.parts.includes(part));
  partsOf.set(pack.name, made);
  return made;
}

const rangesOf = (text: string): [number, number][] =>
  text.split(',').map((one) => {
    const [from = '', to = from] = one.trim().replace('U+', '').split('-');
    return [Number.parseInt(from, 16), Number.parseInt(to, 16)];
  });

interface OpenFont {
  readonly unitsPerEm: number;
  hasGlyphForCodePoint(code: number): boolean;
  layout(text: string): { readonly advanceWidth: number };
}

const opened = new Map<string, OpenFont>();

function fontAt(path: string): OpenFont {
  let font = opened.get(path);
  if (font === undefined) {
    const found = fontLibrary().openSync(path);
    if (!('hasGlyphForCodePoint' in found)) throw new Error(`${path} is a collection of fonts, not one`);
    font = found;
    opened.set(path, font);
  }
  return font;
}

const hasGlyph = (path: string, code: number): boolean => fontAt(path).hasGlyphForCodePoint(code);

const found = new Map<string, string | null>();

/** File of the font that has a letter; null when none of those carried has it. */
export function fontOf(face: Face, code: number): string | null {
  const key = `${face}${code}`;
  const known = found.get(key);
  if (known !== undefined) return known;
  let path: string | null = null;
  for (const pack of ORDER[face]) {
    const parts = ranged(pack).filter(({ ranges }) =>
      ranges.some(([from, to]) => code >= from && code <= to),
    );
    path =
      parts.map(({ part }) => pathOf(pack, part, pack.weight[face])).find((file) => hasGlyph(file, code)) ??
      null;
    if (path !== null) break;
  }
  found.set(key, path);
  return path;
}

/** The file of the plain letters of a face. */
export const mainFont = (face: Face): string => {
  const path = fontOf(face, 0x61);
  if (path === null) throw new Error(`the font of ${face} has no letters`);
  return path;
};

/** A stretch of text in one font. */
export interface Run {
  readonly font: string;
  readonly text: string;
}

/**
 * Text as stretches of one font each. A letter that no carried font has is written as its code point, "[U+05D0]", so
 * that nothing is lost silently.
 */
export function runsOf(face: Face, text: string): Run[] {
  const runs: { font: string; text: string }[] = [];
  const put = (font: string, letters: string): void => {
    const last = runs.at(-1);
    if (last?.font === font) last.text += letters;
    else runs.push({ font, text: letters });
  };
  for (const letter of text.normalize('NFC')) {
    const code = letter.codePointAt(0) ?? 0;
    const last = runs.at(-1);
    /* A space, a joiner or a mark stays with what it follows, where that font has it. */
    if (last !== undefined && /[\p{M}\p{Cf}\s]/u.test(letter) && hasGlyph(last.font, code))
      put(last.font, letter);
    else {
      const font = fontOf(face, code);
      if (font !== null) put(font, letter);
      else put(mainFont(face), `[U+${code.toString(16).toUpperCase().padStart(4, '0')}]`);
    }
  }
  return runs;
}

/** The text as it stands on paper: letters that no carried font has as their code points. */
export const printedText = (face: Face, text: string): string =>
  runsOf(face, text)
    .map((run) => run.text)
    .join('');

/** Width of a text on one line, in the unit that `size` is in. */
export const widthOf = (face: Face, text: string, size: number): number =>
  runsOf(face, text).reduce((sum, run) => {
    const font = fontAt(run.font);
    return sum + (font.layout(run.text).advanceWidth / font.unitsPerEm) * size;
  }, 0);

/** The letters of a text that no carried font has, each once, in their order. */
export function unshownIn(text: string): string[] {
  const letters = [...text.normalize('NFC')].filter((letter) => !/\s/u.test(letter));
  return [...new Set(letters)].filter((letter) => fontOf('text', letter.codePointAt(0) ?? 0) === null);
}
