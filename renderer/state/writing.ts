import { computed, signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { formulaChanged } from './formula.ts';
import { ask, askReply } from './host.ts';
import { latest } from './latest.ts';
import type { Memory } from './preferences.ts';
import {
  type AccordChoice,
  blankLine,
  blankWriting,
  freeLine,
  type MaterialChoice,
  materialNamed,
  type Problem,
  type Writing,
  type WritingLine,
  writingFrom,
  writtenFrom,
} from './written-text.ts';

type Check = Output<'formulas.check'>;
type Bottle = Output<'formulas.bottles'>[number];

/** What is being written; null while nothing is. */
export const writing = signal<Writing | null>(null);
/** It differs from what is stored: kept here until it is saved or put away. */
export const unsaved = signal(false);
/** What it comes to, by the host. */
export const check = signal<Check | null>(null);
export const materials = signal<readonly MaterialChoice[]>([]);
/** Formulas that the line being typed may be an accord of. */
export const accords = signal<readonly AccordChoice[]>([]);
/** Bottles that accords became, by formula. */
export const bottles = signal<Readonly<Record<string, readonly Bottle[]>>>({});
export const saving = signal(false);
/** Why it could not be saved. */
export const saveTrouble = signal<Trouble | null>(null);
/** Problems are told at their fields once saving was tried, or where something stands in the field. */
export const tried = signal(false);

let memory: Memory | null = null;
const place = (id: string): string => `writing ${id === '' ? 'new' : id}`;

/** Where unsaved work is kept over a reload. */
export function keepWritingIn(given: Memory): void {
  memory = given;
}

function kept(id: string): Writing | null {
  const text = memory?.getItem(place(id)) ?? '';
  return text === '' ? null : (JSON.parse(text) as Writing);
}

/** Whether unsaved work on a formula is kept. */
export const isKept = (id: string): boolean => (memory?.getItem(place(id)) ?? '') !== '';

const local = computed(() => (writing.value === null ? null : writtenFrom(writing.value, materials.value)));

/** Everything wrong with what is typed; what cannot be read comes before what the host says of the same field. */
export const problems = computed<readonly Problem[]>(() => {
  const own = local.value?.problems ?? [];
  const told = check.value?.problems ?? [];
  return [...own, ...told.filter((one) => own.every((other) => other.field !== one.field))];
});

export const problemAt = (field: string): string | null => {
  const found = problems.value.find((one) => one.field === field);
  return found === undefined ? null : `${sentence(found.what)} ${found.next}`;
};

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

const checking = latest();
async function checkNow(): Promise<void> {
  if (local.value === null) return;
  const wantedStill = checking();
  const reply = await askReply('formulas.check', { written: local.value.written });
  if (wantedStill() && reply.ok) check.value = reply.value;
}

async function fetchMaterials(): Promise<void> {
  const told = await ask('formulas.materials', {});
  if (told !== null) materials.value = told;
}

async function fetchBottles(id: string): Promise<void> {
  if (bottles.value[id] !== undefined) return;
  const told = await ask('formulas.bottles', { id });
  if (told !== null) bottles.value = { ...bottles.value, [id]: told };
}

const beginning = latest();

/** Begins to write: what was kept, else the formula as it is stored, else an empty one. */
export async function beginWriting(id: string): Promise<void> {
  const wantedStill = beginning();
  if (writing.value?.id === id && unsaved.value) return checkNow();
  await fetchMaterials();
  if (!wantedStill()) return;
  check.value = null;
  saveTrouble.value = null;
  tried.value = false;
  const before = kept(id);
  unsaved.value = before !== null;
  if (before !== null) writing.value = before;
  else if (id === '') writing.value = blankWriting();
  else {
    const told = await ask('formulas.open', { id });
    if (told === null || !wantedStill()) return;
    writing.value = writingFrom(told.written, told.n, { materials: materials.value, lines: told.lines });
  }
  for (const line of writing.value?.lines ?? []) if (line.accord !== null) void fetchBottles(line.accord.id);
  await checkNow();
}

/** Changes what is written and keeps it at once. */
export function write(part: Partial<Writing>): void {
  if (writing.value === null) return;
  writing.value = { ...writing.value, ...part };
  unsaved.value = true;
  saveTrouble.value = null;
  memory?.setItem(place(writing.value.id), JSON.stringify(writing.value));
  void checkNow();
}

export function writeLine(id: string, part: Partial<WritingLine>): void {
  const lines = writing.value?.lines ?? [];
  write({ lines: lines.map((line) => (line.id === id ? { ...line, ...part } : line)) });
}

/** Takes what is typed as the name of a line: a material of the Organ, else an accord of the list. */
export async function nameLine(id: string, name: string): Promise<void> {
  const material = materialNamed(name, materials.value);
  const accord =
    material === null
      ? (accords.value.find((one) => one.name.toLowerCase() === name.trim().toLowerCase()) ?? null)
      : null;
  writeLine(id, { name, accord: accord === null ? null : { id: accord.id, n: accord.n }, lot: '' });
  if (accord !== null) void fetchBottles(accord.id);
  const words = name.trim();
  if (words.length < 2 || material !== null || accord !== null) return;
  const told = await ask('formulas.find', { words, limit: 20 });
  if (told === null) return;
  accords.value = told.rows.flatMap((row) =>
    row.id === writing.value?.id ? [] : [{ id: row.id, name: row.name, n: row.version }],
  );
  const now = writing.value?.lines.find((line) => line.id === id);
  const found = accords.value.find((one) => one.name.toLowerCase() === words.toLowerCase());
  if (now?.name === name && now.accord === null && found !== undefined) await nameLine(id, name);
}

/** Takes the newest version of an accord. */
export function renewAccord(id: string, accord: { readonly id: string; readonly newest: number }): void {
  writeLine(id, { accord: { id: accord.id, n: accord.newest } });
}

/** Adds a line before the q.s. line, or after another. @returns its id */
export function addLine(after?: string): string {
  const lines = [...(writing.value?.lines ?? [])];
  const at = after === undefined ? -1 : lines.findIndex((line) => line.id === after);
  const qs = lines.findIndex((line) => line.qs);
  const place = at >= 0 && !lines[at]?.qs ? at + 1 : qs >= 0 ? qs : lines.length;
  const line = blankLine(freeLine(lines), lines[Math.max(0, place - 1)]?.unit);
  lines.splice(place, 0, line);
  write({ lines });
  return line.id;
}

export function removeLine(id: string): void {
  write({ lines: (writing.value?.lines ?? []).filter((line) => line.id !== id) });
}

/** Moves a line one place up (-1) or down (1). */
export function moveLine(id: string, by: -1 | 1): void {
  const lines = [...(writing.value?.lines ?? [])];
  const from = lines.findIndex((line) => line.id === id);
  const [line] = lines.slice(from, from + 1);
  const other = lines[from + by];
  if (line === undefined || other === undefined) return;
  lines[from + by] = line;
  lines[from] = other;
  write({ lines });
}

/** Puts unsaved work away: what is stored stands again. */
export async function putAwayWriting(): Promise<void> {
  const now = writing.value;
  if (now === null) return;
  memory?.setItem(place(now.id), '');
  unsaved.value = false;
  writing.value = null;
  await beginWriting(now.id);
}

/** Saves. @returns the id of the formula; null where it was refused: nothing typed is lost then */
export async function saveWriting(): Promise<string | null> {
  const now = writing.value;
  if (now === null || local.value === null || saving.value) return null;
  tried.value = true;
  if (problems.value.length > 0) return null;
  saving.value = true;
  const reply = await askReply('formulas.save', {
    written: local.value.written,
    why: now.why,
    ...(now.base === null ? {} : { base: now.base }),
  });
  saving.value = false;
  if (!reply.ok) {
    saveTrouble.value = reply.trouble;
    return null;
  }
  memory?.setItem(place(now.id), '');
  unsaved.value = false;
  writing.value = null;
  await formulaChanged(reply.value.id);
  return reply.value.id;
}
