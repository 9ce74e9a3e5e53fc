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
  readonly besides?: RegExp | ((line: string) => string);
  /** The control byte that frames the line. */
  readonly control?: string;
  /** Words that mean the reading moves, and words that mean rest. */
  readonly moving: RegExp;
  readonly resting: RegExp | null;
}

/** Why a weight read from `line` does not account for it; null when it does. */
export function unaccounted(line: string, meaning: Meaning | null, words: Words): string | null {
  if (meaning?.kind !== 'weight') return null;
  const framed = words.control !== undefined && line.startsWith(words.control);
  let rest = framed ? line.slice(1) : line;
  if (/[^\x20-\x7e]/.test(rest)) return 'a character that is not printable';
  if (typeof words.besides === 'function') rest = words.besides(rest);
  else if (words.besides !== undefined) rest = rest.replace(words.besides, ' ');
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
  if (
    unit === undefined
      ? meaning.unit !== 'blank' && meaning.unit !== 'none'
      : words.units[unit] !== meaning.unit
  )
    return `unit ${unit ?? 'none'} read as ${meaning.unit}`;
  if (meaning.stable === true && words.moving.test(line)) return 'a moving reading called stable';
  if (meaning.stable === false && words.resting?.test(line) === true)
    return 'a resting reading called moving';
  return null;
}

const METRIC = { g: 'g', kg: 'kg', mg: 'mg', ct: 'ct', oz: 'oz', ozt: 'ozt', lb: 'lb', dwt: 'dwt', GN: 'gr' };
const TAELS = { tlh: 'tael-hk', tlt: 'tael-tw' };
const NEVER = /$.^/;

/** Of "letters-behind", the line without limit and status letter, or without mode and status letter of the relative. */
function withoutLetters(line: string): string {
  const relative =
    line.length === 12 && /^ [ A-Z]$/.test(line.slice(8, 10)) && !/^ [Gg]$/.test(line.slice(8, 10));
  return relative || (line.length === 12 && line.slice(8, 11) === ' GK')
    ? `${line.slice(0, 8)} ${line.slice(10, 11)}`
    : line.slice(0, -2);
}

/** By the name of the shape. */
export const WORDS: Readonly<Record<string, Words>> = {
  'comma-headed': {
    heads: ['ST', 'US', 'WT', 'S', 'SD', 'LO', 'OK', 'HI'],
    units: { ...METRIC, mom: 'mom', t: 'tola' },
    besides:
      /^[\x20-\x7e]{1,24}[,;] ?\d{2,4}[/.-]\d\d[/.-]\d{2,4}[,;] ?\d\d:\d\d:\d\d(?: ?[AP]M)?[,;]|^(?:ST|US),--/,
    moving: /^US[,; ]|[,;] ?US[,;]|^SD *-?[\d.]+ \S{1,3}$|^[+-] {0,9}[\d.]+ *$/,
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
  'status-letter': {
    heads: ['S', 'D'],
    units: { ...METRIC, ...TAELS, mom: 'mom' },
    moving: /^S D/,
    resting: /^S S/,
  },
  'marker-first': {
    heads: ['S', 'SI', 'SU', 'SUI', 'C', 'CU'],
    units: { ...METRIC, ...TAELS, gr: 'gr', mom: 'mom' },
    besides: /^CU?1/,
    moving: /\?/,
    resting: null,
  },
  'sign-first': {
    heads: [],
    units: { ...METRIC, ...TAELS, gr: 'gr' },
    besides: (line) => (line.length >= 20 ? line.slice(6) : line),
    moving: / {4}$/,
    resting: null,
  },
  'question-behind': {
    heads: [],
    units: { ...METRIC, ...TAELS, mom: 'mom' },
    besides: /(?<=[a-z]\b *\??) *(?:\d\d:\d\d:\d\d|\b(?:G|N|T|NET|TOTAL|PT|B)) *$/i,
    moving: /\?/,
    resting: null,
  },
  'letters-behind': {
    heads: [],
    units: {
      G: 'g',
      g: 'g',
      KG: 'kg',
      kg: 'kg',
      CT: 'ct',
      OZ: 'oz',
      LB: 'lb',
      lb: 'lb',
      OT: 'ozt',
      DW: 'dwt',
      dw: 'dwt',
      GR: 'gr',
      MO: 'mom',
      mo: 'mom',
      to: 'tola',
      O: 'oz',
      P: 'lb',
      Y: 'ozt',
      D: 'dwt',
      K: 'ct',
    },
    besides: withoutLetters,
    moving: /U$/,
    resting: null,
  },
  'ten-digits': {
    heads: ['M'],
    units: METRIC,
    moving: /[\d.] +$/,
    resting: /[a-z] *$/,
  },
  unpadded: {
    heads: ['S', 'U'],
    units: { ...METRIC, mom: 'mom' },
    moving: /^U/,
    resting: /^S/,
  },
  'framed-digits': { heads: ['N'], units: {}, control: '\x02', moving: NEVER, resting: null },
  'status-below': {
    heads: [],
    units: { G: 'g', KG: 'kg', LB: 'lb', OZ: 'oz' },
    moving: NEVER,
    resting: null,
  },
  'status-first': {
    heads: [],
    units: { ...METRIC, G: 'g', KG: 'kg', LB: 'lb', OZ: 'oz' },
    besides: /^.{5}/,
    moving: /^...M/,
    resting: /^... /,
  },
  'flag-behind': {
    heads: [],
    units: { ...METRIC, G: 'g', KG: 'kg', LB: 'lb', OZ: 'oz' },
    control: '\x01',
    besides: /[01]$/,
    moving: /1$/,
    resting: /0$/,
  },
  plain: {
    heads: ['Net', 'NET', 'N', 'Weight', 'WT', 'NT', 'Nt', 'W', 'Gross', 'GROSS', 'GS', 'wn', 'ww', 'G'],
    units: METRIC,
    moving: NEVER,
    resting: null,
  },
};
