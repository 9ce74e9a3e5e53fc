import { signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask, askReply } from './host.ts';
import { draft, fresh, planWanted, remedyTrouble, takeDraft, wanted } from './planning.ts';
import { fetchFormulas } from './workshop.ts';

/** The plan that waits for a dilution to be made and put on the shelf; null when none does. */
export const waiting = signal<Output<'formulas.waiting'>>(null);
export async function fetchWaiting(): Promise<void> {
  const reply = await askReply('formulas.waiting', {});
  if (reply.ok) waiting.value = reply.value;
}

/** Applies a remedy of a line. A dilution to make first comes onto the sheet, and the plan it is for waits. */
export async function applyRemedy(line: string, remedy: number): Promise<void> {
  const now = draft();
  if (now === null) return;
  remedyTrouble.value = null;
  fresh.value = false;
  const reply = await askReply('formulas.remedy', { draft: now, line, remedy });
  if (!reply.ok) {
    remedyTrouble.value = { line, trouble: reply.trouble };
    return planWanted();
  }
  if (reply.value.formula !== now.formula) await Promise.all([fetchFormulas(), fetchWaiting()]);
  await takeDraft(reply.value);
}

/** Gives up waiting: the plan that waited is back on the sheet, without the bottle that was to be made. */
export async function forgetWaiting(): Promise<void> {
  const given = waiting.value;
  if (given === null || (await ask('formulas.forget', {})) === null) return;
  await fetchWaiting();
  if (wanted.value !== given.first) return;
  const lots = Object.entries(given.back.lots ?? {}).filter(([, code]) => code !== given.code);
  await takeDraft({ ...given.back, lots: Object.fromEntries(lots) });
}
