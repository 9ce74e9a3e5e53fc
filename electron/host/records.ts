import type { BatchRow } from './store/catalog.ts';
import type { Journal } from './store/journal.ts';
import type { RecordRow } from './table.ts';

export const statusOf = (row: BatchRow): RecordRow['status'] =>
  row.status === 'open' ? 'interrupted' : row.status;

/** Every batch, the latest first. */
export function recordRows(journal: Journal): RecordRow[] {
  return journal.batches().map((row) => ({
    batch: row.id,
    name: row.name,
    started: row.started,
    status: statusOf(row),
    total: row.total,
  }));
}
