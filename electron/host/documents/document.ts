import type { RecordFile } from '../../../core/record/record.ts';
import type { Journal } from '../store/journal.ts';
import type { DecimalSign } from './csv.ts';
import { fileName } from './export.ts';
import { recordCsv } from './record-csv.ts';
import { tracesCsv } from './traces-csv.ts';

export type DocumentKind = 'record-pdf' | 'sheet-pdf' | 'json' | 'csv' | 'readings-csv' | 'folder';

export interface Document {
  readonly name: string;
  readonly type: string;
  readonly bytes: Uint8Array;
}

const PDF = 'application/pdf';
const CSV = 'text/csv;charset=utf-8';

/**
 * A document of a record. What draws PDF is brought when it is asked for, so that the program starts without it.
 * @param decimal how numbers stand in CSV
 */
export async function documentOf(
  record: RecordFile,
  journal: Journal,
  kind: DocumentKind,
  decimal: DecimalSign,
): Promise<Document> {
  const made = (ending: string, type: string, content: Uint8Array | string): Document => ({
    name: fileName(record, ending),
    type,
    bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content,
  });
  switch (kind) {
    case 'record-pdf': {
      const { recordPdf } = await import('./record-pdf.ts');
      return made('-as-made.pdf', PDF, await recordPdf(record));
    }
    case 'sheet-pdf': {
      const { sheetPdf } = await import('./sheet-pdf.ts');
      return made('-sheet.pdf', PDF, await sheetPdf(record));
    }
    case 'json':
      return made('.json', 'application/json', `${JSON.stringify(record, null, 2)}\n`);
    case 'csv':
      return made('.csv', CSV, recordCsv(record, decimal));
    case 'readings-csv':
      return made('-readings.csv', CSV, tracesCsv(journal, record.batch.id, decimal));
    case 'folder': {
      const { batchFolder } = await import('./batch-folder.ts');
      return made('.zip', 'application/zip', await batchFolder(record, journal, decimal));
    }
  }
}
