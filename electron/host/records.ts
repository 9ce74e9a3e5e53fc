import type { BatchRow } from './store/catalog.ts';
import type { RecordView } from './table.ts';

export const statusOf = (row: BatchRow): RecordView['status'] =>
  row.status === 'open' ? 'interrupted' : row.status;
