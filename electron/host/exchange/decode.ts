import { HostTrouble } from '../trouble.ts';

export const ENCODINGS = ['utf-8', 'utf-16le', 'utf-16be', 'windows-1252'] as const;
export type Encoding = (typeof ENCODINGS)[number];

/** The text of a file, and how it was known to be written. */
export interface Decoded {
  readonly text: string;
  readonly encoding: Encoding;
  /** How it was recognised, in words. */
  readonly told: string;
}

/** First bytes of files that are no text, and what they are. */
const NO_TEXT: readonly { readonly begins: readonly number[]; readonly is: string }[] = [
  { begins: [0x50, 0x4b, 0x03, 0x04], is: 'a workbook or another zip archive' },
  { begins: [0xd0, 0xcf, 0x11, 0xe0], is: 'an old workbook' },
  { begins: [0x25, 0x50, 0x44, 0x46], is: 'a PDF' },
];

const begins = (bytes: Uint8Array, start: readonly number[]): boolean =>
  start.every((byte, at) => bytes[at] === byte);

function byMark(bytes: Uint8Array): Decoded | null {
  const read = (encoding: Encoding, told: string): Decoded => ({
    text: new TextDecoder(encoding).decode(bytes),
    encoding,
    told,
  });
  if (begins(bytes, [0xef, 0xbb, 0xbf])) return read('utf-8', 'UTF-8, by the mark at its beginning');
  if (begins(bytes, [0xff, 0xfe])) return read('utf-16le', 'UTF-16, by the mark at its beginning');
  if (begins(bytes, [0xfe, 0xff]))
    return read('utf-16be', 'UTF-16 with the high byte first, by the mark at its beginning');
  return null;
}

/** Half of the bytes of plain text in UTF-16 are zero, all on the same side of each pair. */
function byZeros(bytes: Uint8Array): Decoded | null {
  const sample = bytes.subarray(0, 1000);
  const zeros = [0, 0];
  for (const [at, byte] of sample.entries()) if (byte === 0) zeros[at % 2] = (zeros[at % 2] ?? 0) + 1;
  const [high = 0, low = 0] = zeros.map((count) => count / (sample.length / 2));
  const encoding = low > 0.4 && high < 0.1 ? 'utf-16le' : high > 0.4 && low < 0.1 ? 'utf-16be' : null;
  if (encoding === null) return null;
  return {
    text: new TextDecoder(encoding).decode(bytes),
    encoding,
    told: 'UTF-16 without a mark, by its zero bytes',
  };
}

function byContent(bytes: Uint8Array): Decoded {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    const plain = bytes.every((byte) => byte < 0x80);
    return { text, encoding: 'utf-8', told: plain ? 'plain letters only' : 'UTF-8: every letter is sound' };
  } catch {
    return {
      text: new TextDecoder('windows-1252').decode(bytes),
      encoding: 'windows-1252',
      told: 'no sound UTF-8, so read as Windows-1252 (Latin-1): look at letters with accents',
    };
  }
}

/**
 * Text of a file, its encoding by the mark at its beginning, else by its bytes; or as a person says.
 * @throws HostTrouble when it is empty or no text
 */
export function decode(bytes: Uint8Array, name: string, wanted?: Encoding): Decoded {
  const foreign = NO_TEXT.find((one) => begins(bytes, one.begins));
  if (foreign !== undefined)
    throw new HostTrouble(
      `This is ${foreign.is}, not a list in text.`,
      name,
      'Save the sheet as CSV, or copy its cells and paste them here.',
    );
  const found =
    wanted === undefined
      ? (byMark(bytes) ?? byZeros(bytes) ?? byContent(bytes))
      : { text: new TextDecoder(wanted).decode(bytes), encoding: wanted, told: 'as chosen' };
  if (found.text.trim() === '')
    throw new HostTrouble('There is nothing in it.', name, 'Paste a list, or open another file.');
  if (found.text.includes('\0'))
    throw new HostTrouble('This is not text.', name, 'Save the sheet as CSV, or copy its cells and paste.');
  return found;
}
