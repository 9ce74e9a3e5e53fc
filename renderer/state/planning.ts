import { computed, signal } from '@preact/signals';
import type { Draft, PlanView, Trouble } from '../../electron/host/table.ts';
import { bench } from './bench.ts';
import { benches } from './benches.ts';
import { BLANK, type Drafting, draftingOf, draftOf, fieldOf, type Wrong } from './drafting.ts';
import { ask, askReply } from './host.ts';
import { latest } from './latest.ts';
import { operator } from './preferences.ts';
import { unfinished } from './records.ts';

/** The formula whose plan is on the sheet. */
export const wanted = signal<string | null>(null);
/** What is typed and chosen for each formula: a sheet left for another screen or formula is as it was. */
const sheets = signal<Readonly<Record<string, Drafting>>>({});
export const drafting = computed<Drafting>(() => sheets.value[wanted.value ?? ''] ?? BLANK);

/** The plan of the sheet as it is; null while something is wrong with it. */
export const plan = signal<PlanView | null>(null);
/** The latest plan of the same formula: its lines and bottles can be chosen from while there is no plan. */
export const lastPlan = signal<PlanView | null>(null);
/** Why there is no plan. */
export const wrongs = signal<readonly Wrong[]>([]);
/** Why the remedy of a line could not be applied. */
export const remedyTrouble = signal<{ readonly line: string; readonly trouble: Trouble } | null>(null);
/** The plan on show is that of the sheet as it is now; nothing is started from an earlier one. */
export const fresh = signal(false);
export const starting = signal(false);

/** Batches without a closing event: they can be taken up again. */
export const interrupted = computed(() =>
  (unfinished.value ?? []).filter((row) => !benches.value.some((one) => one.batch?.id === row.batch)),
);

const draftNow = () => (wanted.value === null ? null : draftOf(wanted.value, drafting.value));

/** The draft of the sheet; null while what is typed is no draft. */
export function draft(): Draft | null {
  const now = draftNow();
  return now !== null && 'draft' in now ? now.draft : null;
}

const asking = latest();

/** Plans the sheet as it is; only the answer to the latest question counts. */
export async function planWanted(): Promise<void> {
  const now = draftNow();
  if (now === null) return;
  const wantedStill = asking();
  fresh.value = false;
  if ('wrong' in now) {
    plan.value = null;
    wrongs.value = now.wrong;
    return;
  }
  const reply = await askReply('formulas.plan', now.draft);
  if (!wantedStill()) return;
  if (reply.ok) lastPlan.value = reply.value;
  plan.value = reply.ok ? reply.value : null;
  fresh.value = reply.ok;
  wrongs.value = reply.ok ? [] : [{ field: fieldOf(reply.trouble.where), trouble: reply.trouble }];
}

/** Puts a formula's plan on the sheet, with what was chosen for it before. */
export function want(formula: string): Promise<void> {
  if (wanted.value !== formula) {
    wanted.value = formula;
    plan.value = null;
    lastPlan.value = null;
    wrongs.value = [];
    remedyTrouble.value = null;
  }
  return planWanted();
}

/** Changes something on the sheet and plans it again. */
export function change(part: Partial<Drafting>): Promise<void> {
  const formula = wanted.value;
  if (formula === null) return Promise.resolve();
  sheets.value = { ...sheets.value, [formula]: { ...drafting.value, ...part } };
  return planWanted();
}

/** Puts a draft of the host on the sheet: one with a remedy applied, or one that had waited. */
export function takeDraft(given: Draft): Promise<void> {
  sheets.value = { ...sheets.value, [given.formula]: draftingOf(given) };
  return want(given.formula);
}

export const chooseBottle = (line: string, code: string): Promise<void> =>
  change({ lots: { ...drafting.value.lots, [line]: code } });

/** Moves a line of the plan one place earlier (-1) or later (1). */
export function move(line: string, by: -1 | 1): Promise<void> {
  const order = (lastPlan.value?.steps ?? []).map((step) => step.line);
  const from = order.indexOf(line);
  const other = order[from + by];
  if (from < 0 || other === undefined) return Promise.resolve();
  order[from + by] = line;
  order[from] = other;
  return change({ order });
}

/** Starts the batch as planned. */
export async function startBatch(): Promise<void> {
  const now = draft();
  if (now === null || !fresh.value || starting.value) return;
  starting.value = true;
  const who = operator.value.trim();
  const view = await ask('pour.start', { ...now, ...(who === '' ? {} : { operator: who }) });
  starting.value = false;
  if (view !== null) bench.value = view;
}

export async function takeUp(batch: string): Promise<void> {
  const view = await ask('pour.take-up', { batch });
  if (view !== null) bench.value = view;
}
