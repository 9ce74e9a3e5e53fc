import { canonicalJson } from './canonical.ts';
import type { RecordFile } from './record.ts';

/** What a signature signs: the canonical JSON of the record without its signature, in UTF-8. */
export function signedText(record: RecordFile): string {
  const { signature: _, ...rest } = record;
  return canonicalJson(rest);
}
