import { signal } from '@preact/signals';
import type { Trouble } from '../../electron/host/table.ts';
import { find } from './finding.ts';
import { askReply } from './host.ts';
import { openRecord, record } from './records.ts';

export interface Amending {
  readonly batch: string;
  readonly who: string;
  readonly why: string;
  readonly text: string;
  /** Why it was not added. */
  readonly trouble: Trouble | null;
}

/** The amendment that is being written; null when none is. */
export const amending = signal<Amending | null>(null);

/** Begins an amendment; who poured the batch is proposed. */
export function beginAmending(batch: string, who: string): void {
  amending.value = { batch, who, why: '', text: '', trouble: null };
}

export function writeAmendment(part: Partial<Pick<Amending, 'who' | 'why' | 'text'>>): void {
  if (amending.value !== null) amending.value = { ...amending.value, ...part };
}

export function leaveAmending(): void {
  amending.value = null;
}

/** Adds the amendment to the record; one that is refused stays in the form with its trouble. */
export async function amend(): Promise<void> {
  const now = amending.value;
  if (now === null) return;
  const { batch, who, why, text } = now;
  const reply = await askReply('records.amend', { batch, who, why, text });
  if (!reply.ok) {
    if (amending.value?.batch === batch) amending.value = { ...now, trouble: reply.trouble };
    return;
  }
  if (amending.value?.batch === batch) amending.value = null;
  if (record.value?.batch === batch) await openRecord(batch);
  await find();
}
