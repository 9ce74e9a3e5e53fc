import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Framer, LONGEST_LINE, type Piece } from '../../../drivers/frames/framer.ts';
import { parityBit } from '../../../drivers/frames/parity.ts';

const bytes = (text: string): Buffer => Buffer.from(text, 'latin1');
const texts = (pieces: readonly Piece[]): string[] =>
  pieces.map((piece) => (piece.kind === 'line' ? piece.text : `refused: ${piece.why}`));
/** A framer that has seen its first terminator. */
const opened = (options: ConstructorParameters<typeof Framer>[0] = {}): Framer => {
  const framer = new Framer(options);
  framer.push(bytes('\r\n'), 0);
  return framer;
};

describe('framer', () => {
  it('discards what comes before the first terminator, and never gives out a torn tail', () => {
    const framer = new Framer();
    expect(texts(framer.push(bytes('00012.34  g\r\nST,+00012.35  g\r\nST,+0'), 0))).toEqual([
      'ST,+00012.35  g',
    ]);
  });

  it('asked for it, gives what comes before the first terminator, marked', () => {
    const framer = new Framer({ givesFirst: true });
    expect(framer.push(bytes('0012.34  g\r\nST,+00012.35  g\r\n'), 7)).toEqual([
      { kind: 'line', text: '0012.34  g', at: 7, first: true },
      { kind: 'line', text: 'ST,+00012.35  g', at: 7 },
    ]);
  });

  it('cuts at CR LF, CR, LF, LF CR, CR LF LF and ETX, and drops empty lines', () => {
    expect(texts(opened().push(bytes('a\r\nb\rc\nd\n\re\r\n\nf\r\x03\x03g\n'), 0))).toEqual([...'abcdefg']);
  });

  it('gives each line the time its last byte came, not that of its terminator', () => {
    const framer = opened();
    framer.push(bytes('S'), 1);
    framer.push(bytes('T'), 2);
    expect(framer.push(bytes('\r'), 3)).toEqual([{ kind: 'line', text: 'ST', at: 2 }]);
  });

  it('keeps bit 7 unless told to take it off', () => {
    expect(texts(opened().push(Uint8Array.of(0xd3, 0x0d), 0))).toEqual(['\u00d3']);
    const seven = new Framer({ sevenBits: 'mark' });
    seven.push(Uint8Array.of(0x8d), 0);
    expect(texts(seven.push(Uint8Array.of(0xd3, 0x8d), 0))).toEqual(['S']);
  });

  it.each(['even', 'odd', 'space'] as const)(
    'checks %s parity once the line is seen to carry it',
    (parity) => {
      const line = (text: string): number[] =>
        [...bytes(text)].map((byte) => byte | (parityBit(byte, parity) << 7));
      const framer = new Framer({ sevenBits: parity });
      framer.push(Uint8Array.from(line('xyz\r\n')), 0);
      expect(texts(framer.push(Uint8Array.from(line('ST,+00012.34  g\r\n')), 0))).toEqual([
        'ST,+00012.34  g',
      ]);
      const broken = line('ST,+00012.34  g\r\n');
      broken[5] = (broken[5] ?? 0) ^ 0x80;
      const [piece] = framer.push(Uint8Array.from(broken), 0);
      expect(piece?.kind === 'refused' && piece.why).toMatch(/parity is wrong in 1 of its bytes/);
    },
  );

  it('takes bare seven-bit characters of a UART without asking for their parity', () => {
    const framer = new Framer({ sevenBits: 'even' });
    framer.push(bytes('\r\n'), 0);
    expect(texts(framer.push(bytes('ST,+00012.34  g\r\n'), 0))).toEqual(['ST,+00012.34  g']);
  });

  it('refuses a line that is too long once, and goes on with the next', () => {
    const got = texts(opened().push(bytes(`${'9'.repeat(5000)}\r\nok\r\n`), 0));
    expect(got).toEqual([expect.stringMatching(/longer than 128 bytes/), 'ok']);
    const just = 'x'.repeat(LONGEST_LINE);
    expect(texts(opened().push(bytes(`${just}\r`), 0))).toEqual([just]);
  });

  it('cuts the same lines however the bytes are split', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 600 }),
        fc.array(fc.integer({ min: 1, max: 40 }), { maxLength: 80 }),
        (stream, sizes) => {
          const whole = texts(new Framer().push(stream, 0));
          const framer = new Framer();
          const parts: Piece[] = [];
          let from = 0;
          for (const size of [...sizes, stream.length]) {
            parts.push(...framer.push(stream.subarray(from, from + size), 0));
            from += size;
          }
          expect(texts(parts)).toEqual(whole);
          for (const piece of parts)
            expect(piece.kind === 'line' ? piece.text.length : piece.raw.length).toBeLessThanOrEqual(
              LONGEST_LINE,
            );
        },
      ),
      { seed: 20, numRuns: 300 },
    );
  });
});
