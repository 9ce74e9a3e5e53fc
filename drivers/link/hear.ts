import { Framer } from '../frames/framer.ts';
import { parityBit } from '../frames/parity.ts';
import { type Recognition, recognise } from '../frames/recognise.ts';
import type { Shape } from '../frames/shape.ts';
import { SHAPES } from '../frames/shapes.ts';
import { formatLineSettings, type LineSettings, type Parity, parseLineSettings } from './line-settings.ts';

/** Speeds to try, the likeliest first. */
export const BAUDS_TO_TRY: readonly number[] = [9600, 2400, 4800, 1200, 19200, 600, 38400];

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
 * Judges bytes that were read as 8N1 at `baud`: masks bit 7, cuts whole lines (the first and the last are dropped as
 * torn), and asks which shape they have.
 */
export function hear(bytes: Uint8Array, baud: number): Heard {
  if (bytes.length === 0) return { kind: 'nothing' };
  const pieces = new Framer({ sevenBits: 'none' }).push(bytes, 0);
  const lines = pieces.map((piece) => (piece.kind === 'line' ? piece.text : piece.raw));
  const found: Recognition = recognise(lines, SHAPES);
  if (found.kind === 'more')
    return bytes.length < ENOUGH_BYTES ? { kind: 'more' } : { kind: 'garbage', why: 'no whole lines' };
  if (found.kind === 'none') return { kind: 'garbage', why: found.why };
  const bits = bitsOf(bytes);
  if (bits === null) return { kind: 'garbage', why: 'bit 7 fits no parity' };
  if (found.kind === 'ask') {
    return { kind: 'ask', line: { baud, ...bits }, shapes: found.shapes, ask: found.ask };
  }
  return { kind: 'found', line: settingsFor(found.shape, { baud, ...bits }), shape: found.shape };
}

/**
 * Settings to open with. Eight bits with parity read as 8N1 give the same text, but the balance checks the parity of
 * commands: where the shape's own settings at this speed have eight bits and a parity, those are taken.
 */
function settingsFor(shape: Shape, heard: LineSettings): LineSettings {
  if (heard.dataBits === 7) return heard;
  const own = shape.lines
    .map(parseLineSettings)
    .find((line) => line.baud === heard.baud && line.dataBits === 8 && line.parity !== 'none');
  return own ?? heard;
}

/** In words, for progress: "9600 8N1, comma-headed". */
export const heardWords = (heard: Extract<Heard, { kind: 'found' }>): string =>
  `${formatLineSettings(heard.line)}, ${heard.shape.name}`;
