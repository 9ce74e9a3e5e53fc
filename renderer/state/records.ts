import { signal } from '@preact/signals';
import type { Output, RecordView } from '../../electron/host/table.ts';
import { ask } from './host.ts';
import { latest } from './latest.ts';

/** Batches without a closing event, the newest first; null until the host has told them. */
export const unfinished = signal<Output<'records.find'>['rows'] | null>(null);
/** The record that is open. */
export const record = signal<RecordView | null>(null);

export async function fetchUnfinished(): Promise<void> {
  const told = await ask('records.find', { status: 'interrupted' });
  if (told !== null) unfinished.value = told.rows;
}

const opening = latest();

/** Opens a record; of several asked for one after the other, the last. */
export async function openRecord(batch: string): Promise<void> {
  const wantedStill = opening();
  if (record.value?.batch !== batch) record.value = null;
  const told = await ask('records.open', { batch });
  if (told !== null && wantedStill()) record.value = told;
}
