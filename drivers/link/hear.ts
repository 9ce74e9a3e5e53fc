import { Framer } from '../frames/framer.ts';
import { parityBit } from '../frames/parity.ts';
import { counts, recognise } from '../frames/recognise.ts';
import type { Shape } from '../frames/shape.ts';
import { SHAPES } from '../frames/shapes.ts';
import { type LineSettings, type Parity, parseLineSettings } from './line-settings.ts';

/** A way to open a port for listening. */
export interface Opening {
  readonly line: LineSettings;
  /** Read as 8N1, data bits and parity are told from bit 7. */
  readonly infers: boolean;
}

const SPEEDS = [9600, 2400, 4800, 1200, 19200, 600, 38400];

/**
 * Openings to try in turn. Read as 8N1 at the right speed, every line of eight bits or of seven with parity gives its
 * bytes; eight bits with a parity lose those bytes whose parity bit stands where the stop bit should, and seven bits
 * without lose all, so these are tried for themselves at the end.
 */
export const OPENINGS: readonly Opening[] = [
  ...SPEEDS.map((baud) => ({ line: parseLineSettings(`${baud} 8N1`), infers: true })),
  ...['9600 8O1', '9600 8E1', '4800 8E1', '2400 8E1', '1200 8O1', '9600 7N1', '2400 7N1', '1200 7N1'].map(
    (text) => ({
      line: parseLineSettings(text),
      infers: false,
    }),
  ),
];

/** Bits of a character as told by bit 7 of bytes that were read as 8N1. */
export interface Bits {
  readonly dataBits: 7 | 8;
  readonly parity: Parity;
  readonly stopBits: 1 | 2;
}

/** So much of the capture must agree; the rest may be noise. */
const AGREEING = 0.9;

/**
 * Tells data bits and parity from bytes read as 8N1: bit 7 always clear is eight bits (text has no high bit), always
 * set is a second stop bit or a mark, else it is the even or odd parity of bits 0 to 6. Null when none of them fits.
 */
export function bitsOf(bytes: Uint8Array): Bits | null {
  if (bytes.length === 0) return null;
  let clear = 0;
  let even = 0;
  for (const byte of bytes) {
    if (byte < 0x80) clear += 1;
    if (byte >> 7 === parityBit(byte & 0x7f, 'even')) even += 1;
  }
  const readings: readonly (readonly [number, Bits])[] = [
    [clear, { dataBits: 8, parity: 'none', stopBits: 1 }],
    [bytes.length - clear, { dataBits: 7, parity: 'none', stopBits: 2 }],
    [even, { dataBits: 7, parity: 'even', stopBits: 1 }],
    [bytes.length - even, { dataBits: 7, parity: 'odd', stopBits: 1 }],
  ];
  const best = readings.reduce((most, one) => (one[0] > most[0] ? one : most));
  return best[0] >= AGREEING * bytes.length ? best[1] : null;
}

/** What a capture at one speed says. */
export type Heard =
  | { readonly kind: 'nothing' }
  /** Bytes, but not lines of a known shape: the wrong speed, or an unknown balance. */
  | { readonly kind: 'garbage'; readonly why: string }
  /** Too few lines yet. */
  | { readonly kind: 'more' }
  | {
      readonly kind: 'ask';
      readonly line: LineSettings;
      readonly shapes: readonly Shape[];
      readonly ask: string;
    }
  | { readonly kind: 'found'; readonly line: LineSettings; readonly shape: Shape };

/** A capture with so many bytes and no three lines in it is garbage. */
const ENOUGH_BYTES = 400;

/**
 * Judges bytes that came through an opening: masks bit 7, cuts whole lines (the last is dropped as torn, and the
 * first unless `whole` says that nothing was under way when it began), and asks which of the shapes they have.
 */
export function hear(
  bytes: Uint8Array,
  opening: Opening,
  { shapes = SHAPES, whole = false }: { readonly shapes?: readonly Shape[]; readonly whole?: boolean } = {},
): Heard {
  if (bytes.length === 0) return { kind: 'nothing' };
  const lines = linesIn(bytes, whole);
  const found = recognise(lines, shapes);
  if (found.kind === 'more')
    return bytes.length < ENOUGH_BYTES ? { kind: 'more' } : { kind: 'garbage', why: 'no whole lines' };
  if (found.kind === 'none') return { kind: 'garbage', why: found.why };
  const bits = opening.infers ? bitsOf(bytes) : opening.line;
  if (bits === null) return { kind: 'garbage', why: 'bit 7 fits no parity' };
  const line = { ...opening.line, ...bits };
  return found.kind === 'ask'
    ? { kind: 'ask', line, shapes: found.shapes, ask: found.ask }
    : { kind: 'found', line, shape: found.shape };
}

/** Lines of the bytes with bit 7 masked; the first only where it is known to be whole. */
function linesIn(bytes: Uint8Array, whole: boolean): string[] {
  const pieces = new Framer({ sevenBits: 'none', givesFirst: whole }).push(bytes, 0);
  return pieces.map((piece) => (piece.kind === 'line' ? piece.text : piece.raw));
}

/** Whether a line among the bytes tells a state of the pan in one of these shapes. */
export const tellsPan = (bytes: Uint8Array, shapes: readonly Shape[]): boolean =>
  linesIn(bytes, true).some((line) => shapes.some((one) => counts((one.recognises ?? one.parse)(line))));
