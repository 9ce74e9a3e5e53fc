import type { Meaning, Shape } from './shape.ts';

/** What a capture of whole lines says about its shape. */
export type Recognition =
  | { readonly kind: 'shape'; readonly shape: Shape }
  /** Too few lines yet. */
  | { readonly kind: 'more' }
  /** Several shapes fit every line so far; `ask` says what the person can do so that the next line decides. */
  | { readonly kind: 'ask'; readonly shapes: readonly Shape[]; readonly ask: string }
  | { readonly kind: 'none'; readonly why: string };

/** So many whole lines, and this share of all lines, must fit. */
export const LEAST_LINES = 3;
export const LEAST_SHARE = 0.6;

/**
 * Lines of a capture that a shape reads as a state of the pan; noise and refusals fit too much. A whole number does
 * not count: a balance to pour by shows decimals, and a line read with the wrong parity loses its point.
 */
export const counts = (meaning: Meaning | null): boolean =>
  (meaning?.kind === 'weight' && meaning.figure.includes('.')) ||
  meaning?.kind === 'out-of-range' ||
  meaning?.kind === 'not-a-weight';

/** Lines that few shapes send alike: moving, negative, or beyond the range. */
const tells = (meaning: Meaning | null): boolean =>
  meaning !== null &&
  (meaning.kind === 'out-of-range' ||
    (meaning.kind === 'weight' && (meaning.stable === false || meaning.figure.startsWith('-'))));

const TOUCH = 'Touch the pan lightly, so that the balance sends a moving reading.';
const LIFT = 'Put a vessel on, tare it, and lift it off, so that the balance sends a negative reading.';

/**
 * Tells the shape from whole lines. At least three lines and 60 % of all must fit. Where several shapes fit, the
 * lines that few shapes send alike (moving, negative, beyond the range) decide; a shape that cannot read such a line
 * of another is out. Shapes that read the same telling lines cannot be told apart from these alone.
 */
export function recognise(lines: readonly string[], shapes: readonly Shape[]): Recognition {
  if (lines.length < LEAST_LINES) return { kind: 'more' };
  const scores = shapes
    .map((shape) => {
      const meanings = lines.map((line) => (shape.recognises ?? shape.parse)(line));
      return { shape, fits: meanings.filter(counts).length, telling: meanings.filter(tells).length };
    })
    .filter(({ fits }) => fits >= LEAST_LINES && fits >= LEAST_SHARE * lines.length);
  const most = Math.max(0, ...scores.map(({ telling }) => telling));
  const best = scores.filter(({ telling }) => telling === most).map(({ shape }) => shape);
  const [first] = best;
  if (first === undefined) {
    const last = printable(lines.at(-1) ?? '');
    return { kind: 'none', why: `${lines.length} lines came and fit no known shape; the last was "${last}"` };
  }
  if (best.length === 1) return { kind: 'shape', shape: first };
  return { kind: 'ask', shapes: best, ask: most === 0 ? TOUCH : LIFT };
}

/** Text with control and high characters written as \xNN, for messages. */
export const printable = (text: string): string =>
  text.replace(/[^\x20-\x7e]/g, (one) => `\\x${one.charCodeAt(0).toString(16).padStart(2, '0')}`);
