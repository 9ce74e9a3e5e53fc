import { type SevenBitParity, SevenBits } from './parity.ts';

/** What the framer cuts out of the bytes: a whole line, or something that cannot be one. */
export type Piece =
  /**
   * `at` is the time of arrival of the last byte of the text, milliseconds on the caller's clock. `first` marks what
   * came before the first terminator: it may be the tail of a line that began before the port was opened.
   */
  | { readonly kind: 'line'; readonly text: string; readonly at: number; readonly first?: true }
  | { readonly kind: 'refused'; readonly raw: string; readonly why: string; readonly at: number };

/** Longest line that is read, bytes before its terminator. */
export const LONGEST_LINE = 128;

/** Of a refused line, so many bytes are kept for the log. */
const KEPT_OF_REFUSED = 48;

const CR = 0x0d;
const LF = 0x0a;
const ETX = 0x03;

/**
 * Cuts a stream of bytes into lines. A line ends at any run of CR, LF and ETX; empty lines are dropped. What comes
 * before the first terminator may be the tail of a line that began before the port was opened: it is discarded, or
 * given out marked `first` when asked; what
 * comes after the last one is never given out. A line longer than LONGEST_LINE is refused once and skipped up to
 * its end, so memory is bounded. Make a new framer at each opening: nothing of an earlier connection may be glued on.
 * Text is Latin-1, one character a byte. Bit 7 is taken off (and its parity checked) only when `sevenBits` is given.
 */
export class Framer {
  readonly #line = Buffer.alloc(LONGEST_LINE);
  readonly #seven: SevenBits | null;
  #length = 0;
  #at = 0;
  #badParity = 0;
  /** Bytes are skipped up to the next terminator: at the opening, and after a line too long. */
  #skipping = true;

  #first: boolean;

  constructor(options: { readonly sevenBits?: SevenBitParity; readonly givesFirst?: boolean } = {}) {
    this.#first = options.givesFirst === true;
    this.#skipping = !this.#first;
    this.#seven = options.sevenBits === undefined ? null : new SevenBits(options.sevenBits);
  }

  /** Takes bytes that arrived at `at` (milliseconds) and gives the pieces they complete. */
  push(bytes: Uint8Array, at: number): Piece[] {
    const pieces: Piece[] = [];
    for (const raw of bytes) {
      let byte = raw;
      if (this.#seven !== null) {
        byte = this.#seven.take(raw);
        if (byte < 0) {
          this.#badParity += 1;
          byte = raw & 0x7f;
        }
      }
      if (byte === CR || byte === LF || byte === ETX) this.#end(pieces);
      else if (!this.#skipping) this.#add(byte, at, pieces);
    }
    return pieces;
  }

  #add(byte: number, at: number, pieces: Piece[]): void {
    this.#at = at;
    if (this.#length === LONGEST_LINE) {
      pieces.push(this.#refusal(`the line is longer than ${LONGEST_LINE} bytes; check the line settings`));
      this.#skipping = true;
      return;
    }
    this.#line[this.#length] = byte;
    this.#length += 1;
  }

  #end(pieces: Piece[]): void {
    if (!this.#skipping && this.#length > 0) {
      if (this.#badParity > 0)
        pieces.push(
          this.#refusal(`parity is wrong in ${this.#badParity} of its bytes; check the line settings`),
        );
      else pieces.push(this.#whole());
    }
    this.#length = 0;
    this.#badParity = 0;
    this.#skipping = false;
    this.#first = false;
  }

  #whole(): Piece {
    const text = this.#line.toString('latin1', 0, this.#length);
    return { kind: 'line', text, at: this.#at, ...(this.#first ? { first: true } : {}) };
  }

  #refusal(why: string): Piece {
    const raw = this.#line.toString('latin1', 0, Math.min(this.#length, KEPT_OF_REFUSED));
    return { kind: 'refused', raw, why, at: this.#at };
  }
}
