import type { Shape } from '../frames/shape.ts';
import { SHAPES, shapeNamed } from '../frames/shapes.ts';

/** A command that asks a balance for its figure and does nothing else to it. */
export interface Question {
  /** Bytes as they are sent (Latin-1), terminator included. */
  readonly bytes: string;
  /** Names of the shapes that answer it. */
  readonly shapes: readonly string[];
  /** Asked only where the person says that the balance has this shape. */
  readonly onlyByShape?: true;
}

/**
 * Every question that a silent port may be asked, in the order in which they are put. By the manuals and drivers known
 * none of them restarts, calibrates, switches off, tares, zeroes or sets anything on a listed shape that answers its
 * own question; a test follows their bits through every line setting. Not tried on every balance, hence a person is
 * asked. The order matters: a balance of "comma-headed", where P is the on/off key, has answered before ESC P comes,
 * and one of "sign-first" hears nothing whole before ESC P. The shape "unpadded" is asked nothing: its kind may take
 * characters that it does not know for settings. READ is put only to a balance said to take it, because one of
 * "framed-digits" would take its letters one by one.
 */
export const QUESTIONS: readonly Question[] = [
  { bytes: 'SI\r\n', shapes: ['comma-headed', 'status-letter', 'marker-first'] },
  { bytes: '\x1bP\r\n', shapes: ['sign-first'] },
  { bytes: 'IP\r\n', shapes: ['question-behind'] },
  { bytes: 'W\r', shapes: ['two-headed', 'framed-digits', 'status-below', 'status-first'] },
  { bytes: '\nW\r', shapes: ['status-first'] },
  { bytes: 'O8\r\n', shapes: ['letters-behind'] },
  { bytes: 'w\r\n', shapes: ['ten-digits'] },
  { bytes: 'READ\r\n', shapes: ['two-headed'], onlyByShape: true },
];

/** At half its speed a byte sent at this one may be heard as another letter: used only where the shape is named. */
const FASTEST = '19200 8N1';

/** One question at one line setting. */
export interface Asking {
  readonly bytes: string;
  readonly line: string;
  readonly shapes: readonly string[];
}

/**
 * What is sent, in this order, until something answers.
 * @param shape the shape that the person says the balance has; without it every question is put that none takes amiss
 * @throws LinkTrouble "unknown-shape"
 */
export function askings(shape?: string): Asking[] {
  if (shape !== undefined) shapeNamed(shape);
  const put = QUESTIONS.filter((one) =>
    shape === undefined ? one.onlyByShape !== true : one.shapes.includes(shape),
  );
  return put.flatMap(({ bytes, shapes }) => {
    const asked = SHAPES.filter(({ name }) => (shape === undefined ? shapes.includes(name) : name === shape));
    const lines = linesOf(asked).filter((line) => shape !== undefined || line !== FASTEST);
    return lines.map((line) => ({ bytes, line, shapes: asked.map((one) => one.name) }));
  });
}

/** Line settings of these shapes, those of most of them first. */
function linesOf(shapes: readonly Shape[]): string[] {
  const all = shapes.flatMap((one) => one.lines);
  const count = (line: string): number => all.filter((one) => one === line).length;
  return [...new Set(all)].sort((a, b) => count(b) - count(a));
}

/** Commands that this shape may be asked with again and again, the likeliest first. */
export function askable(shape: Shape): string[] {
  const own = shape.commands.now === undefined ? [] : [shape.commands.now];
  const put = QUESTIONS.filter((one) => one.shapes.includes(shape.name)).map((one) => one.bytes);
  return [...new Set([...own, ...put])];
}

const NAMES: Readonly<Record<string, string>> = { '\r': 'CR', '\n': 'LF', '\x1b': 'ESC', ' ': 'space' };

/** Bytes as a manual writes them: "S I CR LF". */
export const bytesInWords = (bytes: string): string => [...bytes].map((one) => NAMES[one] ?? one).join(' ');
