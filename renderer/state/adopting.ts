import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { formulaChanged } from './formula.ts';
import { ask, askReply } from './host.ts';
import { latest } from './latest.ts';

export interface Adopting {
  readonly batch: string;
  readonly told: Output<'formulas.adoptable'>;
  /** What it would change is on show, and may be taken over. */
  readonly open: boolean;
  readonly why: string;
  readonly trouble: Trouble | null;
}

/** The batch whose composition may be taken over into its formula; null while none is told. */
export const adopting = signal<Adopting | null>(null);

const telling = latest();

export async function tellAdoptable(batch: string): Promise<void> {
  const wantedStill = telling();
  if (adopting.value?.batch !== batch) adopting.value = null;
  const told = await ask('formulas.adoptable', { batch });
  if (told !== null && wantedStill())
    adopting.value = { batch, told, open: false, why: told.offer?.why ?? '', trouble: null };
}

export function changeAdopting(part: Partial<Pick<Adopting, 'open' | 'why'>>): void {
  if (adopting.value !== null) adopting.value = { ...adopting.value, ...part };
}

/** Makes what was poured the next version of the formula. */
export async function adoptNow(): Promise<void> {
  const now = adopting.value;
  if (now === null) return;
  const reply = await askReply('formulas.adopt', { batch: now.batch, why: now.why });
  if (!reply.ok) {
    adopting.value = { ...now, trouble: reply.trouble };
    return;
  }
  await Promise.all([tellAdoptable(now.batch), formulaChanged(reply.value.id)]);
}
