import { computed, signal } from '@preact/signals';
import type { Draft, PlanView, RecordRow, Trouble } from '../../electron/host/table.ts';
import { bench } from './bench.ts';
import { ask, askReply } from './host.ts';
import { operator } from './preferences.ts';
import { records } from './records.ts';

/** The formula to be poured. */
export const wanted = signal<string | null>(null);
/** The batch size as typed, in grams; empty means the formula's own. */
export const size = signal('');
export const plan = signal<PlanView | null>(null);
/** Why there is no plan. */
export const planTrouble = signal<Trouble | null>(null);
export const starting = signal(false);

/** Batches without a closing event: they can be taken up again. */
export const interrupted = computed<readonly RecordRow[]>(() =>
  (records.value ?? []).filter((row) => row.status === 'interrupted'),
);

/** A mass as typed, point or comma, as plain decimal text; null where it is none. */
export function massText(typed: string): string | null {
  const text = typed.trim().replace(/\s*g$/, '').replace(',', '.');
  return /^\d+(\.\d+)?$/.test(text) ? text : null;
}

type Sized = Pick<Draft, 'size'>;

/** The size to ask for; null where what is typed is no mass. */
function sized(): Sized | null {
  if (size.value.trim() === '') return {};
  const batch = massText(size.value);
  return batch === null ? null : { size: { by: 'mass', g: batch } };
}

const NO_MASS: Trouble = {
  what: 'This batch size is not a mass.',
  where: 'batch size',
  next: 'Type grams, as in 30 or 12.5.',
};

let asked = 0;

/** Plans the wanted formula at the wanted size; only the answer to the latest question counts. */
export async function planWanted(): Promise<void> {
  const formula = wanted.value;
  if (formula === null) return;
  asked += 1;
  const mine = asked;
  const at = sized();
  const reply =
    at === null
      ? ({ ok: false, trouble: NO_MASS } as const)
      : await askReply('formulas.plan', { formula, ...at });
  if (mine !== asked) return;
  plan.value = reply.ok ? reply.value : null;
  planTrouble.value = reply.ok ? null : reply.trouble;
}

/** Starts the batch as planned. */
export async function startBatch(): Promise<void> {
  const formula = wanted.value;
  const at = sized();
  if (formula === null || at === null || starting.value) return;
  starting.value = true;
  const who = operator.value.trim();
  const view = await ask('pour.start', { formula, ...at, ...(who === '' ? {} : { operator: who }) });
  starting.value = false;
  if (view !== null) bench.value = view;
}

export async function takeUp(batch: string): Promise<void> {
  const view = await ask('pour.take-up', { batch });
  if (view !== null) bench.value = view;
}
