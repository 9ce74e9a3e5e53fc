/** A keyboard-type scanner sends the characters of a code closer together than this, milliseconds; no hand does. */
export const SCAN_GAP_MS = 60;
/** The same into a field, where a quick hand also writes: fewer hands come below this. */
export const FIELD_GAP_MS = 35;
/** Longer than any code, that of a record's document included: what is longer is no scan. */
const LONGEST = 200;
/** Keys that send nothing of their own; a scanner holds shift for capitals and colons. */
export const MODIFIERS: readonly string[] = ['Shift', 'CapsLock', 'NumLock', 'AltGraph'];

/** One key going down: its name as the browser tells it, and when, in milliseconds of any one clock. */
export interface Stroke {
  readonly key: string;
  readonly at: number;
}

/** What came of one more stroke, or of silence after the last. */
export interface Decided {
  /** Characters of which it is not known yet whether they are a code or keys. */
  readonly held: readonly Stroke[];
  /** Keys struck by a hand, in their order: they mean what they mean. */
  readonly keys: readonly string[];
  /** A whole code that ended with enter. */
  readonly code: string | null;
  /** A code that broke off before its end: it means nothing, and none of its characters is a key. */
  readonly torn: string | null;
}

const NOTHING: Decided = { held: [], keys: [], code: null, torn: null };

const textOf = (held: readonly Stroke[]): string => held.map((one) => one.key).join('');

/** One key again and again is struck by a hand, however fast. */
const alike = (held: readonly Stroke[]): boolean => held.every((one) => one.key === held[0]?.key);

/** No stroke followed: one or two characters, or one repeated, were keys; anything longer was a code cut short. */
export function silence(held: readonly Stroke[]): Decided {
  if (held.length <= 2 || alike(held)) return { ...NOTHING, keys: held.map((one) => one.key) };
  return { ...NOTHING, torn: textOf(held) };
}

/**
 * One more stroke. A character is held back until it is known whether it begins a code, so that no character of a
 * code does what its key does; named keys (space, enter, page keys) with nothing held mean what they mean at once.
 */
export function strike(held: readonly Stroke[], stroke: Stroke): Decided {
  const last = held.at(-1);
  if (last !== undefined && stroke.at - last.at > SCAN_GAP_MS) {
    const before = silence(held);
    const now = strike([], stroke);
    return { ...now, keys: [...before.keys, ...now.keys], torn: before.torn };
  }
  const { key } = stroke;
  if (key === 'Enter' && held.length >= 2) return { ...NOTHING, code: textOf(held) };
  const within = key.length === 1 && (key !== ' ' || (held.length >= 2 && !alike(held)));
  if (within && held.length < LONGEST) return { ...NOTHING, held: [...held, stroke] };
  const before = silence(held);
  return { ...before, keys: [...before.keys, key] };
}

/** Strokes into one field that may be those of a scanner. */
export interface FieldStrokes {
  readonly strokes: readonly Stroke[];
  /** What stood in the field before the first of them. */
  readonly before: string;
}

/**
 * One more stroke into a field, where nothing is held back. @returns the strokes to go on from, null after a key that
 * is no character; and the code, where it ended one of at least three characters that came as fast as a scanner sends
 */
export function strikeField(
  now: FieldStrokes | null,
  stroke: Stroke,
  standing: string,
): { readonly now: FieldStrokes | null; readonly code: string | null } {
  const last = now?.strokes.at(-1);
  const fast = last !== undefined && stroke.at - last.at <= FIELD_GAP_MS;
  if (stroke.key === 'Enter')
    return { now: null, code: fast && now !== null && now.strokes.length >= 3 ? textOf(now.strokes) : null };
  if (stroke.key.length !== 1) return { now: null, code: null };
  if (!fast || now === null) return { now: { strokes: [stroke], before: standing }, code: null };
  return { now: { ...now, strokes: [...now.strokes, stroke] }, code: null };
}
