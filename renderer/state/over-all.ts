import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { ask, askReply } from './host.ts';

export type Recall = Output<'records.recall'>;
export type Comparison = Output<'records.compare'>;
export type Strengths = Output<'records.strengths'>;

/** The code in the field, where that lot went, and why it was not found. */
export const lotCode = signal('');
export const recall = signal<{ readonly lot: string; readonly told: Recall } | null>(null);
export const recallTrouble = signal<Trouble | null>(null);

/** Asks where the lot in the field went. */
export async function whereWent(): Promise<void> {
  const lot = lotCode.value.trim();
  recall.value = null;
  recallTrouble.value = null;
  if (lot === '') {
    recallTrouble.value = {
      what: 'No lot is named.',
      where: 'lot',
      next: 'Type the code that is on the bottle.',
    };
    return;
  }
  const reply = await askReply('records.recall', { lot });
  if (reply.ok) recall.value = { lot, told: reply.value };
  else recallTrouble.value = reply.trouble;
}

/** Two batches side by side; null when none are. */
export const comparison = signal<{
  readonly a: string;
  readonly b: string;
  readonly told: Comparison;
} | null>(null);

/** Lays batch `b` beside `a`; an empty `b` lays none. */
export async function layBeside(a: string, b: string): Promise<void> {
  comparison.value = null;
  if (b === '') return;
  const told = await ask('records.compare', { a, b });
  if (told !== null) comparison.value = { a, b, told };
}

/** Strengths of one formula, the oldest first; null when none is chosen. */
export const strengths = signal<{ readonly formula: string; readonly told: Strengths } | null>(null);

export async function followFormula(formula: string): Promise<void> {
  strengths.value = null;
  if (formula === '') return;
  const told = await ask('records.strengths', { formula });
  if (told !== null) strengths.value = { formula, told };
}
