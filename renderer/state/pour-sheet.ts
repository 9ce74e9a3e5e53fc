import { signal } from '@preact/signals';
import type { Draft, Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';
import type { Memory } from './preferences.ts';

export type PourSheet = Output<'pour.sheet'>;

/** Plans whose sheets were opened, by formula, and the one on show: what was printed is typed in by the same plan. */
interface Sheets {
  readonly shown: string | null;
  readonly drafts: Readonly<Record<string, Draft>>;
}

const NONE: Sheets = { shown: null, drafts: {} };
const sheets = signal<Sheets>(NONE);
/** The sheet of the plan on show; null until the host has drawn it. */
export const pourSheet = signal<PourSheet | null>(null);
/** Where the last file of it went, in words. */
export const sheetKept = signal('');

/** The plan that a formula was last printed by. */
export const printedDraft = (formula: string): Draft | null => sheets.value.drafts[formula] ?? null;
export const shownDraft = (): Draft | null =>
  sheets.value.shown === null ? null : printedDraft(sheets.value.shown);

const KEY = 'pour sheets';

function kept(text: string | null): Sheets {
  if (text === null) return NONE;
  try {
    return { ...NONE, ...(JSON.parse(text) as Partial<Sheets>) };
  } catch {
    // What another version of the window kept, and this one cannot read, is no plan.
    return NONE;
  }
}

/** Takes up the plans of earlier sheets, and writes every later one there. @returns what stops it */
export function rememberSheets(memory: Memory): () => void {
  sheets.value = kept(memory.getItem(KEY));
  return sheets.subscribe((value) => memory.setItem(KEY, JSON.stringify(value)));
}

/** Puts the sheet of a plan on show. */
export function showSheetOf(draft: Draft): void {
  sheets.value = { shown: draft.formula, drafts: { ...sheets.value.drafts, [draft.formula]: draft } };
  pourSheet.value = null;
}

export async function fetchSheet(): Promise<void> {
  sheetKept.value = '';
  const draft = shownDraft();
  if (draft !== null) pourSheet.value = await ask('pour.sheet', draft);
}

/** Keeps the sheet as a file: by the desktop's own dialog where there is one, else `download` gives it to the browser. */
export async function keepSheet(download: (name: string, html: string) => void): Promise<void> {
  const draft = shownDraft();
  const sheet = pourSheet.value;
  const able = await ask('app.capabilities', {});
  if (draft === null || sheet === null || able === null) return;
  if (able.saveDialog) {
    const saved = await ask('pour.sheet-save', draft);
    if (saved !== null) sheetKept.value = saved.path === null ? 'Not written.' : `Written to ${saved.path}`;
    return;
  }
  download(`${sheet.name}.html`, sheet.html);
  sheetKept.value = `Handed to the browser as ${sheet.name}.html`;
}
