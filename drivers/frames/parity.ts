/** Parity of a seven-bit character, as it may still sit in bit 7 of a byte. */
export type SevenBitParity = 'none' | 'even' | 'odd' | 'mark' | 'space';

/** Bit 7 that a seven-bit character carries when the line puts its parity there. */
export function parityBit(character: number, parity: SevenBitParity): 0 | 1 {
  if (parity === 'mark' || parity === 'none') return 1;
  if (parity === 'space') return 0;
  let ones = 0;
  for (let bits = character & 0x7f; bits !== 0; bits &= bits - 1) ones += 1;
  const odd = (ones & 1) as 0 | 1;
  return parity === 'even' ? odd : odd === 1 ? 0 : 1;
}

/**
 * Takes bit 7 off seven-bit characters. A UART set to seven bits hands them over bare; a line that cannot be set so
 * (a pseudo-terminal, some adapters) hands over the parity bit as bit 7. Once one byte has come with bit 7 set, the
 * line is known to be of the second kind and every byte's parity is checked. With parity "none" or "mark" bit 7
 * is the stop bit or the mark and is not checked.
 */
export class SevenBits {
  readonly #parity: SevenBitParity;
  #carried = false;

  constructor(parity: SevenBitParity) {
    this.#parity = parity;
  }

  /** The seven-bit character, or -1 when its parity is wrong. */
  take(byte: number): number {
    const character = byte & 0x7f;
    if (byte >= 0x80) this.#carried = true;
    if (!this.#carried || this.#parity === 'none' || this.#parity === 'mark') return character;
    return byte >> 7 === parityBit(character, this.#parity) ? character : -1;
  }
}
