import { signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';
import { latest } from './latest.ts';

export type Traces = Output<'records.traces'>['traces'];
export type Marks = Output<'records.traces'>['marks'];

/** The readings that were kept of a batch; null until the host has told them. */
export const traces = signal<{ readonly batch: string; readonly all: Traces; readonly marks: Marks } | null>(
  null,
);

const opening = latest();

/** Fetches what was kept of a batch; of several asked for one after the other, the last. */
export async function fetchTraces(batch: string): Promise<void> {
  const wantedStill = opening();
  if (traces.value?.batch !== batch) traces.value = null;
  const told = await ask('records.traces', { batch });
  if (told !== null && wantedStill()) traces.value = { batch, all: told.traces, marks: told.marks };
}
