import { signal } from '@preact/signals';
import type { ExportedFile, RecordRow, RecordView } from '../../electron/host/table.ts';
import { ask } from './host.ts';

/** Every record, the newest first; null until the host has told them. */
export const records = signal<readonly RecordRow[] | null>(null);
/** The record that is open. */
export const record = signal<RecordView | null>(null);
/** Where the last export went, in words. */
export const exported = signal<string | null>(null);

export async function fetchRecords(): Promise<void> {
  const told = await ask('records.list', {});
  if (told !== null) records.value = told;
}

export async function openRecord(batch: string): Promise<void> {
  if (record.value?.batch !== batch) record.value = null;
  exported.value = null;
  const told = await ask('records.open', { batch });
  if (told !== null) record.value = told;
}

/**
 * Exports a record: by the desktop's own dialog where there is one, else handed to `download`.
 * `download` gives the file to the browser.
 */
export async function exportRecord(
  batch: string,
  format: 'json' | 'csv',
  download: (file: ExportedFile) => void,
): Promise<void> {
  exported.value = null;
  const able = await ask('app.capabilities', {});
  if (able === null) return;
  if (able.saveDialog) {
    const saved = await ask('records.save', { batch, format });
    if (saved !== null) exported.value = saved.path === null ? 'Not exported.' : `Written to ${saved.path}`;
    return;
  }
  const file = await ask('records.export', { batch, format });
  if (file === null) return;
  download(file);
  exported.value = `Handed to the browser as ${file.name}`;
}
