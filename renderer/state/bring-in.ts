import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import { fetchWorkshop } from './first-run.ts';
import { askReply } from './host.ts';
import { send } from './upload.ts';
import { fetchFormulas, fetchShelves } from './workshop.ts';

type Ask = Input<'bring-in.read'>;
export type Target = Ask['target'];
export type ListView = Output<'bring-in.read'>;
/** What a person says of how the list is to be read. */
export type Wishes = Omit<Ask, 'file' | 'target'>;

export const target = signal<Target>('shelf');
/** What is pasted, as text. */
export const pasted = signal('');
/** Beside the lines of a formula. */
export const formulaName = signal('');
/** The list that is read: the host's name for it. */
const file = signal<string | null>(null);
export const wishes = signal<Wishes>({});
export const view = signal<ListView | null>(null);
export const listTrouble = signal<Trouble | null>(null);
export const busy = signal(false);
/** What was brought in last. */
export const done = signal<Output<'bring-in.take'> | null>(null);

const asked = (id: string): Ask => ({
  ...wishes.value,
  file: id,
  target: target.value,
  ...(target.value === 'formula' ? { formula: { ...wishes.value.formula, name: formulaName.value } } : {}),
});

/** Reads the list again with what is wished now. */
export async function reread(): Promise<void> {
  const id = file.value;
  if (id === null) return;
  const reply = await askReply('bring-in.read', asked(id));
  if (file.value !== id) return;
  listTrouble.value = reply.ok ? null : reply.trouble;
  if (reply.ok) view.value = reply.value;
}

async function begin(name: string, bytes: Uint8Array): Promise<void> {
  busy.value = true;
  done.value = null;
  view.value = null;
  wishes.value = {};
  listTrouble.value = null;
  file.value = await send(name, bytes);
  await reread();
  busy.value = false;
}

/** Reads what is pasted. */
export const readPasted = (): Promise<void> => begin('pasted list', new TextEncoder().encode(pasted.value));

/** Reads a file that was opened; a formula takes its name from it where it has none. */
export async function readFile(given: File): Promise<void> {
  if (formulaName.value === '') formulaName.value = given.name.replace(/\.\w+$/, '');
  await begin(given.name, new Uint8Array(await given.arrayBuffer()));
}

/** Changes what is wished, and reads the list again. */
export function wish(part: Wishes): void {
  wishes.value = { ...wishes.value, ...part };
  void reread();
}

export function takeAs(now: Target): void {
  target.value = now;
  const { columns: _, header: __, ...rest } = wishes.value;
  wishes.value = rest;
  void reread();
}

export function nameFormula(name: string): void {
  formulaName.value = name;
  void reread();
}

export function setColumn(index: number, field: string | null, unit?: string): void {
  wish({
    columns: { ...wishes.value.columns, [index]: { field, ...(unit === undefined ? {} : { unit }) } },
  });
}

export function mend(row: number, column: number, text: string): void {
  const others = (wishes.value.edits ?? []).filter((one) => one.row !== row || one.column !== column);
  wish({ edits: [...others, { row, column, text }] });
}

export const leaveOut = (row: number): void => wish({ leaveOut: [...(wishes.value.leaveOut ?? []), row] });
export const putBack = (row: number): void =>
  wish({ leaveOut: (wishes.value.leaveOut ?? []).filter((one) => one !== row) });

export function takeFromList(id: string, on: boolean): void {
  const others = (wishes.value.take ?? []).filter((one) => one !== id);
  wish({ take: on ? [...others, id] : others });
}

/** Takes the list into the workshop. */
export async function bringIn(): Promise<void> {
  const id = file.value;
  if (id === null || busy.value) return;
  busy.value = true;
  const reply = await askReply('bring-in.take', asked(id));
  busy.value = false;
  listTrouble.value = reply.ok ? null : reply.trouble;
  if (!reply.ok) return;
  done.value = reply.value;
  file.value = null;
  view.value = null;
  pasted.value = '';
  await Promise.all([fetchWorkshop(), fetchShelves(), fetchFormulas()]);
}

/** Puts the list away without taking it. */
export function putListAway(): void {
  file.value = null;
  view.value = null;
  listTrouble.value = null;
}
