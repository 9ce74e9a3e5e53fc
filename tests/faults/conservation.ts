import type { Meaning } from '../../drivers/frames/shape.ts';

/**
 * What a line may hold beside its number, told apart from the drivers' own tables: a weight must account for every
 * character of its line. Digits may not vanish, a sign may not be dropped, a word may not be overlooked.
 */
export interface Words {
  /** Letter groups that say state, not unit. */
  readonly heads: readonly string[];
  /** Letter groups that are units, with the unit they mean. */
  readonly units: Readonly<Record<string, string>>;
  /** Parts with digits or signs that are not the weight: dates, channels, counters. */
  readonly besides?: RegExp;
  /** Control bytes that frame the line. */
  readonly controls?: RegExp;
  /** Words that mean the reading moves, and words that mean rest. */
  readonly moving: RegExp;
  readonly resting: RegExp | null;
}

/** Why a weight read from `line` does not account for it; null when it does. */
export function unaccounted(line: string, meaning: Meaning | null, words: Words): string | null {
  if (meaning?.kind !== 'weight') return null;
  let rest = words.controls === undefined ? line : line.replace(words.controls, '');
  if (/[^\x20-\x7e]/.test(rest)) return 'a character that is not printable';
  if (words.besides !== undefined) rest = rest.replace(words.besides, ' ');
  const digits = rest.replace(/\D/g, '').replace(/^0+/, '');
  const read = meaning.figure.replace(/\D/g, '').replace(/^0+/, '');
  if (digits !== read) return `digits ${digits} of the line, ${read} of the figure`;
  const decimals = /[.,](\d+)\D*$/.exec(rest.replace(/[[\]/]/g, ''))?.[1] ?? '';
  const readDecimals = meaning.figure.split('.')[1] ?? '';
  if (decimals.length !== readDecimals.length)
    return `decimals ${decimals} of the line, ${readDecimals} of the figure`;
  const minus = rest.includes('-');
  if (/[1-9]/.test(read) && minus !== meaning.figure.startsWith('-')) return 'the sign';
  return unaccountedWords(rest, line, meaning, words);
}

function unaccountedWords(
  rest: string,
  line: string,
  meaning: Extract<Meaning, { kind: 'weight' }>,
  words: Words,
): string | null {
  const groups = rest.match(/[A-Za-z%]+(?:\.[A-Za-z])?/g) ?? [];
  const units = groups.filter((group) => !words.heads.includes(group));
  const [unit, ...more] = units;
  if (more.length > 0) return `words ${units.join(' ')} beside the unit`;
  if (unit === undefined ? meaning.unit !== null : words.units[unit] !== meaning.unit)
    return `unit ${unit ?? 'none'} read as ${meaning.unit ?? 'none'}`;
  if (meaning.stable === true && words.moving.test(line)) return 'a moving reading called stable';
  if (meaning.stable === false && words.resting?.test(line) === true)
    return 'a resting reading called moving';
  return null;
}

const METRIC = { g: 'g', kg: 'kg', mg: 'mg', ct: 'ct', oz: 'oz', ozt: 'ozt', lb: 'lb', dwt: 'dwt', GN: 'gr' };

/** By the name of the shape. */
export const WORDS: Readonly<Record<string, Words>> = {
  'comma-headed': {
    heads: ['ST', 'US', 'WT', 'S', 'SD', 'LO', 'OK', 'HI'],
    units: { ...METRIC, mom: 'mom', t: 'tola' },
    besides:
      /^[\x20-\x7e]{1,24}[,;] ?\d{2,4}[/.-]\d\d[/.-]\d{2,4}[,;] ?\d\d:\d\d:\d\d(?: ?[AP]M)?[,;]|^(?:ST|US),--/,
    moving: /^US[,; ]|[,;] ?US[,;]|^SD|^[+-] {0,9}[\d.]+ *$/,
    resting: /^ST|[,;] ?ST[,;]|^WT|^S {2}/,
  },
  'two-headed': {
    heads: ['ST', 'US'],
    units: { ...METRIC, G: 'g', KG: 'kg', CT: 'ct', LB: 'lb' },
    besides:
      /(?<=^(?:ST|US),)(?:[1-9],|GS|NT|G |N )|(?<=^(?:ST|US),[1-9],.*[A-Za-z]), *[+-]? *[\d.]+[A-Za-z]+$/g,
    moving: /^US/,
    resting: /^ST/,
  },
};
