/**
 * What one line means. Only `weight` is a mass. Its unit is a key of core/quantity/units.ts; "blank" where the shape
 * blanks the unit while the reading moves; "none" where the shape never sends one, so that the person must say it.
 */
export type Meaning =
  | {
      readonly kind: 'weight';
      /** Plain decimal text with its sign joined and its digits kept. */
      readonly figure: string;
      readonly unit: string | 'blank' | 'none';
      /** What the line says of rest; null where the shape does not tell. */
      readonly stable: boolean | null;
      readonly uncertified?: boolean;
    }
  | { readonly kind: 'out-of-range'; readonly way: 'over' | 'under' }
  | { readonly kind: 'not-a-weight'; readonly what: string }
  | { readonly kind: 'fault'; readonly what: string }
  | { readonly kind: 'noise'; readonly what: string }
  /** The layout is this shape's, but the line must not be read as a mass. */
  | { readonly kind: 'refused'; readonly why: string };

/** Commands as the bytes to send (Latin-1), terminator included. A command that a shape does not know is left out. */
export interface Commands {
  readonly now?: string;
  readonly stable?: string;
  readonly stream?: string;
  readonly stopStream?: string;
  readonly tare?: string;
  readonly zero?: string;
  readonly identify?: string;
}

/** One line shape: a row of the table in shapes.ts. Shapes are named by their look. */
export interface Shape {
  readonly name: string;
  /** What to look for in a manual, in a few words. */
  readonly title: string;
  /** A line as it stands on the wire; control bytes written as <STX>, <SOH>. */
  readonly sample: string;
  /** Line settings to try, the likeliest first: "9600 8N1". */
  readonly lines: readonly string[];
  /** Pure; the whole line or nothing. Null when the line has none of this shape's layouts. */
  readonly parse: (line: string) => Meaning | null;
  /** What of it tells the shape, where some of its layouts are another shape's too. */
  readonly recognises?: (line: string) => Meaning | null;
  /** A beginning that no torn tail of this shape's lines has: with it the first line after an opening is whole. */
  readonly begins?: RegExp;
  readonly commands: Commands;
  /** Least time between two commands, milliseconds. */
  readonly leastInterval: number;
  readonly flow: 'none' | 'xonxoff';
}

/** What a unit text of one shape stands for: a unit of mass, or a reading that is not a mass. */
export type UnitMeaning = { readonly unit: string } | { readonly not: string };

/** A shape's own table of unit texts, exactly as they stand on the wire. */
export type UnitTable = ReadonlyMap<string, UnitMeaning>;

export const unitTable = (rows: Readonly<Record<string, UnitMeaning>>): UnitTable =>
  new Map(Object.entries(rows));

/** Why a tael is not taken as a mass when the balance does not say which. */
export const WHICH_TAEL =
  'tael, and the balance does not say which of the several taels; set the balance to grams';

/** A weight in the unit written as `text`, or what it is instead. */
export function weightIn(
  table: UnitTable,
  text: string,
  figure: string | null,
  stable: boolean | null,
  uncertified = false,
): Meaning {
  const meaning = table.get(text);
  if (meaning === undefined)
    return { kind: 'refused', why: `unknown unit "${text.trim()}"; set the balance to grams` };
  if ('not' in meaning) return { kind: 'not-a-weight', what: meaning.not };
  if (figure === null) return { kind: 'refused', why: 'the number is not a plain decimal number' };
  return { kind: 'weight', figure, unit: meaning.unit, stable, ...(uncertified ? { uncertified } : {}) };
}

/**
 * Refuses a whole number as a mass. Shapes without fixed columns use it: where a line of eight bits with parity is
 * read without, the point is among the bytes that get lost, and "84.12 g" would be read as 8412 g.
 */
export function pointed(meaning: Meaning): Meaning {
  if (meaning.kind !== 'weight' || meaning.figure.includes('.')) return meaning;
  return {
    kind: 'refused',
    why: 'a number without its point: bytes may be missing; check data bits and parity of the line',
  };
}
