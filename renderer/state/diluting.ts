import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import type { FieldProblem } from './field-problems.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';
import { takeDraft } from './planning.ts';
import { fetchFormulas } from './workshop.ts';

type Ask = Input<'organ.dilution'>;

/** A dilution as it is chosen, and its plan. */
export interface Diluting {
  readonly ask: Ask;
  readonly plan: Output<'organ.dilution'>['plan'];
  readonly problems: readonly FieldProblem[];
  readonly trouble: Trouble | null;
}

export const diluting = signal<Diluting | null>(null);

const asking = latest();

/** Works the plan out; only the answer to the latest question counts. */
async function workOut(): Promise<void> {
  const now = diluting.value;
  if (now === null) return;
  const wantedStill = asking();
  const reply = await askReply('organ.dilution', now.ask);
  if (!wantedStill() || diluting.value === null) return;
  const { plan, problems } = reply.ok ? reply.value : { plan: null, problems: [] };
  diluting.value = { ...diluting.value, plan, problems, trouble: reply.ok ? null : reply.trouble };
}

/** Begins a dilution of a lot with the first solvent on the shelf. */
export function beginDilution(lot: string, solvent: string): Promise<void> {
  const ask: Ask = { lot, percent: '10', solvent, g: '20' };
  diluting.value = { ask, plan: null, problems: [], trouble: null };
  return workOut();
}

export function changeDilution(part: Partial<Ask>): Promise<void> {
  const now = diluting.value;
  if (now === null) return Promise.resolve();
  diluting.value = { ...now, ask: { ...now.ask, ...part } };
  return workOut();
}

/** Puts the dilution onto the sheet of Pour. @returns whether it is there */
export async function takeDilution(): Promise<boolean> {
  const now = diluting.value;
  if (now === null) return false;
  const reply = await askReply('organ.dilute', now.ask);
  if (!reply.ok) {
    diluting.value = { ...now, trouble: reply.trouble };
    return false;
  }
  await fetchFormulas();
  await takeDraft(reply.value);
  return true;
}
