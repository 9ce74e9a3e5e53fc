import { zipSync } from 'fflate';
import type { RecordFile } from '../../../core/record/record.ts';
import { pourTraces } from '../batch-traces.ts';
import type { Journal } from '../store/journal.ts';
import type { DecimalSign } from './csv.ts';
import { bytesHash, MANIFEST_FORMAT, MANIFEST_NAME, type Manifest } from './manifest.ts';
import { recordCsv } from './record-csv.ts';
import { recordPdf } from './record-pdf.ts';
import { sheetPdf } from './sheet-pdf.ts';
import { tracesCsv } from './traces-csv.ts';

export const RECORD_NAME = 'as-made.json';
export const TABLE_NAME = 'as-made.csv';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

/** A record as the text of its file. */
export const recordJson = (record: RecordFile): string => `${JSON.stringify(record, null, 2)}\n`;

/** Times in an archive have no zone; the same record gives the same bytes anywhere. */
function localCopy(stamp: string): Date {
  const utc = new Date(stamp);
  return new Date(
    utc.getUTCFullYear(),
    utc.getUTCMonth(),
    utc.getUTCDate(),
    utc.getUTCHours(),
    utc.getUTCMinutes(),
    utc.getUTCSeconds(),
  );
}

/**
 * Everything of one batch as one archive: the record, its PDF and its sheet, its table, every reading, the labels of
 * one that stands on the shelf, and a manifest with the hash of each.
 */
export async function batchFolder(
  record: RecordFile,
  journal: Journal,
  decimal: DecimalSign,
  labels: Uint8Array | null = null,
): Promise<Uint8Array> {
  const { batch, head } = record;
  const files: Record<string, Uint8Array> = {
    [RECORD_NAME]: utf8(recordJson(record)),
    'as-made.pdf': await recordPdf(record, pourTraces(journal, batch.id)),
    'batch-sheet.pdf': await sheetPdf(record),
    [TABLE_NAME]: utf8(recordCsv(record, decimal)),
    'readings.csv': utf8(tracesCsv(journal, batch.id, decimal)),
    ...(labels === null ? {} : { 'labels.pdf': labels }),
  };
  const manifest: Manifest = {
    format: MANIFEST_FORMAT,
    batch: batch.id,
    name: batch.name,
    head: head.hash,
    decimal,
    files: Object.entries(files).map(([name, bytes]) => ({
      name,
      bytes: bytes.length,
      sha256: bytesHash(bytes),
    })),
  };
  const mtime = localCopy(record.events.at(-1)?.at ?? batch.started);
  return zipSync(
    { ...files, [MANIFEST_NAME]: utf8(`${JSON.stringify(manifest, null, 2)}\n`) },
    { level: 9, mtime },
  );
}
