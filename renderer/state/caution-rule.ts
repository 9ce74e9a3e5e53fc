import { signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

export type CautionRule = Output<'cautions.rule'>['rule'];
export const CAUTION_RULES: readonly CautionRule[] = ['shown', 'required'];

/** The rule of this machine, as the host keeps it; null until it has told. */
export const cautionRule = signal<CautionRule | null>(null);

export async function fetchCautionRule(): Promise<void> {
  const kept = await ask('cautions.rule', {});
  if (kept !== null) cautionRule.value = kept.rule;
}

/** Chooses another rule; what could not be stored is shown as it was. */
export async function chooseCautionRule(rule: CautionRule): Promise<void> {
  const kept = await ask('cautions.choose', { rule });
  if (kept === null) await fetchCautionRule();
  else cautionRule.value = kept.rule;
}
