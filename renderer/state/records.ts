import { signal } from '@preact/signals';
import type { RecordRow, RecordView } from '../../electron/host/table.ts';
import { ask } from './host.ts';

/** Every record, the newest first; null until the host has told them. */
export const records = signal<readonly RecordRow[] | null>(null);
/** The record that is open. */
export const record = signal<RecordView | null>(null);

export async function fetchRecords(): Promise<void> {
  const told = await ask('records.list', {});
  if (told !== null) records.value = told;
}

export async function openRecord(batch: string): Promise<void> {
  if (record.value?.batch !== batch) record.value = null;
  const told = await ask('records.open', { batch });
  if (told !== null) record.value = told;
}
