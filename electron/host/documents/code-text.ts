/** What the code on a document says: which batch, and the hash of its last event when the document was made. */
export interface RecordCode {
  readonly batch: string;
  readonly hash: string;
}

const CODE = /^pourwright:record:([^:]+):([0-9a-f]{64})$/;

export const codeText = ({ batch, hash }: RecordCode): string =>
  `pourwright:record:${encodeURIComponent(batch)}:${hash}`;

/** Reads the text of a scanned code; null when it is of another kind. */
export function readCode(text: string): RecordCode | null {
  const match = CODE.exec(text.trim());
  if (match === null) return null;
  try {
    return { batch: decodeURIComponent(match[1] ?? ''), hash: match[2] ?? '' };
  } catch (cause) {
    if (cause instanceof URIError) return null;
    throw cause;
  }
}
