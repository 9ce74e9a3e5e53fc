import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { massText } from './drafting.ts';
import { ask, askReply } from './host.ts';
import { latest } from './latest.ts';
import { planWanted, wanted } from './planning.ts';
import { fetchFormulas } from './workshop.ts';

export type Sheet = Output<'formulas.open'>;
export type Figures = Output<'formulas.figures'>;
export type Comparison = Output<'formulas.compare'>;
type Found = Output<'formulas.find'>;

/** What is typed to find formulas by, and what was found. */
export const words = signal('');
export const found = signal<Found | null>(null);
/** The formula that is open, in its newest version; null while none is. */
export const sheet = signal<Sheet | null>(null);
/** An old version laid open beside it. */
export const old = signal<Sheet | null>(null);
export const figures = signal<Figures | null>(null);
export const comparison = signal<Comparison | null>(null);
export const comparisonTrouble = signal<Trouble | null>(null);

const ROWS = 200;
const finding = latest();
const opening = latest();

/** Finds formulas by what is typed; only the latest answer counts. */
export async function findFormulas(): Promise<void> {
  const wantedStill = finding();
  const told = await ask('formulas.find', { words: words.value, limit: ROWS });
  if (told !== null && wantedStill()) found.value = told;
}

/** Opens a formula in its newest version; of several asked for one after the other, the last. */
export async function openFormula(id: string): Promise<void> {
  const wantedStill = opening();
  if (sheet.value?.id !== id) {
    sheet.value = null;
    old.value = null;
    figures.value = null;
    comparison.value = null;
    comparisonTrouble.value = null;
  }
  const told = await ask('formulas.open', { id });
  if (told === null || !wantedStill()) return;
  sheet.value = told;
  await tellFigures(told);
}

async function tellFigures({ id, n }: Sheet): Promise<void> {
  const told = await ask('formulas.figures', { id, n });
  if (told !== null && sheet.value?.id === id) figures.value = told;
}

/** Lays an old version open; the same again puts it away. */
export async function lookAt(id: string, n: number): Promise<void> {
  if (old.value?.id === id && old.value.n === n) {
    old.value = null;
    return;
  }
  const told = await ask('formulas.open', { id, n });
  if (told !== null && sheet.value?.id === id) old.value = told;
}

/** After something was stored: list, sheet, figures and the plan that is on the sheet anew. */
export async function formulaChanged(id: string): Promise<void> {
  await Promise.all([
    openFormula(id),
    findFormulas(),
    fetchFormulas(),
    ...(wanted.value === id ? [planWanted()] : []),
  ]);
}

/** Makes an old version the newest again. */
export async function takeAgain(id: string, n: number): Promise<void> {
  if ((await ask('formulas.again', { id, n })) === null) return;
  old.value = null;
  await formulaChanged(id);
}

/** Compares two versions, or two formulas, at a batch typed in grams; empty means that of the second. */
export async function compareVersions(
  a: { readonly id: string; readonly n?: number },
  b: { readonly id: string; readonly n?: number },
  typed: string,
): Promise<void> {
  const batch = typed.trim() === '' ? undefined : massText(typed);
  if (batch === null) {
    comparisonTrouble.value = {
      what: 'This batch size is not a mass.',
      where: 'batch',
      next: 'Type grams, as in 30 or 12.5.',
    };
    return;
  }
  const reply = await askReply('formulas.compare', { a, b, ...(batch === undefined ? {} : { batch }) });
  comparisonTrouble.value = reply.ok ? null : reply.trouble;
  if (reply.ok) comparison.value = reply.value;
}
