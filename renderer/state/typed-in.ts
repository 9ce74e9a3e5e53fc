import { computed, signal } from '@preact/signals';
import type { Draft, Input, PlanView, Trouble } from '../../electron/host/table.ts';
import { massText } from './drafting.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';
import { printedDraft, shownDraft } from './pour-sheet.ts';
import { type Memory, operator } from './preferences.ts';

/** What was written beside a line, as typed. */
export interface Written {
  readonly before: string;
  readonly after: string;
  readonly net: string;
}

/** The form as it stands. */
interface Typing {
  readonly draft: Draft | null;
  /** Batch size on the sheet, g, as typed; empty means as planned. */
  readonly grams: string;
  readonly vessel: string;
  readonly closing: string;
  readonly lines: Readonly<Record<string, Written>>;
}

const EMPTY: Typing = { draft: null, grams: '', vessel: '', closing: '', lines: {} };
const BLANK: Written = { before: '', after: '', net: '' };
const KEY = 'typed in';

export const typing = signal<Typing>(EMPTY);
/** The plan whose lines are asked for; null while there is none. */
export const sheetPlan = signal<PlanView | null>(null);
/** What is wrong, by its place: "vessel", "closing", "batch", or "net of", "before of", "after of" a line. */
export const sheetWrongs = signal<Readonly<Record<string, string>>>({});
/** What is wrong with no field of its own. */
export const sheetTrouble = signal<Trouble | null>(null);
export const sending = signal(false);

export const writtenOf = (line: string): Written => typing.value.lines[line] ?? BLANK;
export const wrongAt = (where: string): string | null => sheetWrongs.value[where] ?? null;

function kept(text: string | null): Typing {
  if (text === null) return EMPTY;
  try {
    return { ...EMPTY, ...(JSON.parse(text) as Partial<Typing>) };
  } catch {
    // What another version of the window kept, and this one cannot read, is no sheet.
    return EMPTY;
  }
}

/** Takes up what was typed before a reload, and keeps every later stroke. @returns what stops it */
export function rememberTyping(memory: Memory): () => void {
  typing.value = kept(memory.getItem(KEY));
  return typing.subscribe((value) => memory.setItem(KEY, JSON.stringify(value)));
}

/** The draft with the batch size on the sheet. */
const draftNow = computed<Draft | null>(() => {
  const { draft, grams } = typing.value;
  if (draft === null || grams.trim() === '') return draft;
  const g = massText(grams);
  return g === null ? null : { ...draft, size: { by: 'mass', g } };
});

const asking = latest();

async function planSheet(): Promise<void> {
  const wantedStill = asking();
  const draft = draftNow.value;
  if (draft === null) {
    if (typing.value.draft !== null) tellAt('batch', 'This is not a mass. Type grams, as in 30 or 12.5.');
    return;
  }
  const reply = await askReply('formulas.plan', draft);
  if (!wantedStill()) return;
  if (reply.ok) {
    sheetPlan.value = reply.value;
    clearWrong('batch');
  } else tellAt('batch', `${reply.trouble.what} ${reply.trouble.next}`);
}

const tellAt = (where: string, text: string): void => {
  sheetWrongs.value = { ...sheetWrongs.value, [where]: text };
};

function clearWrong(where: string): void {
  const { [where]: _, ...others } = sheetWrongs.value;
  sheetWrongs.value = others;
}

/** Opens the form: as it was left, else for the formula whose sheet was printed last, else for `first`. */
export function openTyping(first: string | undefined): Promise<void> {
  const draft = typing.value.draft ?? shownDraft() ?? (first === undefined ? null : { formula: first });
  typing.value = { ...typing.value, draft };
  return planSheet();
}

/** Another formula: its lines as they were last printed. */
export function typeFormula(formula: string): Promise<void> {
  typing.value = { ...EMPTY, draft: printedDraft(formula) ?? { formula } };
  sheetWrongs.value = {};
  sheetTrouble.value = null;
  sheetPlan.value = null;
  return planSheet();
}

export function typeGrams(grams: string): Promise<void> {
  typing.value = { ...typing.value, grams };
  return planSheet();
}

export function typeLot(line: string, lot: string): Promise<void> {
  const { draft } = typing.value;
  if (draft === null) return Promise.resolve();
  typing.value = { ...typing.value, draft: { ...draft, lots: { ...draft.lots, [line]: lot } } };
  return planSheet();
}

export function typeGross(where: 'vessel' | 'closing', text: string): void {
  typing.value = { ...typing.value, [where]: text };
  clearWrong(where);
}

export function typeLine(line: string, part: keyof Written, text: string): void {
  const written = { ...writtenOf(line), [part]: text };
  typing.value = { ...typing.value, lines: { ...typing.value.lines, [line]: written } };
  for (const one of ['net', 'before', 'after']) clearWrong(`${one} of ${line}`);
}

type SheetLine = Input<'pour.typed-in'>['lines'][number];

/** A figure as typed: nothing where the field is empty, and what is wrong with it noted at its place. */
function figureAt(where: string, text: string, wrongs: Record<string, string>): string | undefined {
  if (text.trim() === '') return undefined;
  const g = massText(text);
  if (g === null) wrongs[where] = `"${text.trim()}" is not a mass. Type grams, as in 1.23.`;
  return g ?? undefined;
}

function lineAt(line: string, wrongs: Record<string, string>): SheetLine | null {
  const written = writtenOf(line);
  const net = figureAt(`net of ${line}`, written.net, wrongs);
  const before = figureAt(`before of ${line}`, written.before, wrongs);
  const after = figureAt(`after of ${line}`, written.after, wrongs);
  const [hasNet, hasBefore, hasAfter] = [written.net, written.before, written.after].map(
    (text) => text.trim() !== '',
  );
  if (hasNet && (hasBefore || hasAfter))
    wrongs[`net of ${line}`] = 'Either the net, or before and after: leave one of them empty.';
  else if (hasBefore && !hasAfter) wrongs[`after of ${line}`] = 'There is a before and no after.';
  else if (hasAfter && !hasBefore) wrongs[`before of ${line}`] = 'There is an after and no before.';
  if (!hasNet && !hasBefore && !hasAfter) return null;
  return {
    line,
    ...(net === undefined ? {} : { net }),
    ...(before === undefined ? {} : { before }),
    ...(after === undefined ? {} : { after }),
  };
}

/** What the form comes to, or everything that is wrong with it. */
function sheetNow(draft: Draft, plan: PlanView): Input<'pour.typed-in'> | Record<string, string> {
  const wrongs: Record<string, string> = {};
  const vessel = figureAt('vessel', typing.value.vessel, wrongs);
  const closing = figureAt('closing', typing.value.closing, wrongs);
  const lines = plan.steps.flatMap(({ line }) => lineAt(line, wrongs) ?? []);
  if (Object.keys(wrongs).length > 0) return wrongs;
  const who = operator.value.trim();
  return {
    draft,
    lines,
    ...(who === '' ? {} : { operator: who }),
    ...(vessel === undefined ? {} : { vessel }),
    ...(closing === undefined ? {} : { closing }),
  };
}

/** Sends the figures. What is refused is told at its field, and all that was typed stays. @returns the batch, if stored */
export async function sendSheet(): Promise<string | null> {
  const draft = draftNow.value;
  const plan = sheetPlan.value;
  if (draft === null || plan === null || sending.value) return null;
  sheetTrouble.value = null;
  const sheet = sheetNow(draft, plan);
  if (!('draft' in sheet)) {
    sheetWrongs.value = sheet;
    return null;
  }
  sending.value = true;
  const reply = await askReply('pour.typed-in', sheet as Input<'pour.typed-in'>);
  sending.value = false;
  if (reply.ok) {
    typing.value = EMPTY;
    sheetWrongs.value = {};
    return reply.value.batch;
  }
  const { where, what, next } = reply.trouble;
  const here = where === 'vessel' || where === 'closing' || /^(net|before|after) of /.test(where ?? '');
  if (where !== null && here) sheetWrongs.value = { [where]: `${what} ${next}` };
  else sheetTrouble.value = reply.trouble;
  return null;
}
