import type { RecordFile } from '../../../core/record/record.ts';
import { pourTraces } from '../batch-traces.ts';
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
  /** Letters of it that no carried font has. */
  readonly unshown?: readonly string[];
}

const PDF = 'application/pdf';
const CSV = 'text/csv;charset=utf-8';

/**
 * A document of a record. What draws PDF is brought when it is asked for, so that the program starts without it.
 * @param decimal how numbers stand in CSV
 * @param labels of the batch, for its folder
 */
export async function documentOf(
  record: RecordFile,
  journal: Journal,
  kind: DocumentKind,
  decimal: DecimalSign,
  labels: () => Promise<Uint8Array | null> = async () => null,
): Promise<Document> {
  const made = (ending: string, type: string, content: Uint8Array | string): Document => ({
    name: fileName(record, ending),
    type,
    bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content,
  });
  const unshown = async (): Promise<readonly string[]> => {
    const { unshownOf } = await import('./unshown.ts');
    return unshownOf(record);
  };
  switch (kind) {
    case 'record-pdf': {
      const { recordPdf } = await import('./record-pdf.ts');
      return {
        ...made('-as-made.pdf', PDF, await recordPdf(record, pourTraces(journal, record.batch.id))),
        unshown: await unshown(),
      };
    }
    case 'sheet-pdf': {
      const { sheetPdf } = await import('./sheet-pdf.ts');
      return { ...made('-sheet.pdf', PDF, await sheetPdf(record)), unshown: await unshown() };
    }
    case 'json':
      return made('.json', 'application/json', `${JSON.stringify(record, null, 2)}\n`);
    case 'csv':
      return made('.csv', CSV, recordCsv(record, decimal));
    case 'readings-csv':
      return made('-readings.csv', CSV, tracesCsv(journal, record.batch.id, decimal));
    case 'folder': {
      const { batchFolder } = await import('./batch-folder.ts');
      return made('.zip', 'application/zip', await batchFolder(record, journal, decimal, await labels()));
    }
  }
}
