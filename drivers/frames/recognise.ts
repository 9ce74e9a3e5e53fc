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

/** A line counts for a shape when the shape reads a state of the pan from it; noise and refusals fit too much. */
const counts = (meaning: Meaning | null): boolean =>
  meaning !== null &&
  (meaning.kind === 'weight' || meaning.kind === 'out-of-range' || meaning.kind === 'not-a-weight');

/**
 * Tells the shape from whole lines. At least three lines and 60 % of all must fit; among the shapes that do, the one
 * that fits the most lines, because a single line that only it can send (moving, negative, beyond the range) decides.
 * Shapes that fit the same lines cannot be told apart from these alone.
 */
export function recognise(lines: readonly string[], shapes: readonly Shape[]): Recognition {
  if (lines.length < LEAST_LINES) return { kind: 'more' };
  const scores = shapes
    .map((shape) => ({ shape, fits: lines.filter((line) => counts(shape.parse(line))).length }))
    .filter(({ fits }) => fits >= LEAST_LINES && fits >= LEAST_SHARE * lines.length);
  const most = Math.max(0, ...scores.map(({ fits }) => fits));
  const best = scores.filter(({ fits }) => fits === most).map(({ shape }) => shape);
  const [first] = best;
  if (first === undefined) {
    return {
      kind: 'none',
      why: `${lines.length} lines came and fit no known shape; the last was "${printable(lines.at(-1) ?? '')}"`,
    };
  }
  if (best.length === 1) return { kind: 'shape', shape: first };
  return {
    kind: 'ask',
    shapes: best,
    ask: 'Touch the pan lightly, so that the balance sends a moving reading.',
  };
}

/** Text with control and high characters written as \xNN, for messages. */
export const printable = (text: string): string =>
  text.replace(/[^\x20-\x7e]/g, (one) => `\\x${one.charCodeAt(0).toString(16).padStart(2, '0')}`);
