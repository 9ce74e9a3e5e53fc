import { signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

export type Traces = Output<'records.traces'>;

/** The readings that were kept of a batch; null until the host has told them. */
export const traces = signal<{ readonly batch: string; readonly all: Traces } | null>(null);

export async function fetchTraces(batch: string): Promise<void> {
  if (traces.value?.batch !== batch) traces.value = null;
  const all = await ask('records.traces', { batch });
  if (all !== null) traces.value = { batch, all };
}
