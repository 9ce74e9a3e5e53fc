import { signal } from '@preact/signals';
import type { FormulaView, ShelfView } from '../../electron/host/table.ts';
import { ask } from './host.ts';

/** Shelves of the Organ; null until the host has told them. */
export const shelves = signal<readonly ShelfView[] | null>(null);
/** Every formula; null until the host has told them. */
export const formulas = signal<readonly FormulaView[] | null>(null);

export async function fetchShelves(): Promise<void> {
  const told = await ask('organ.shelves', {});
  if (told !== null) shelves.value = told;
}

export async function fetchFormulas(): Promise<void> {
  const told = await ask('formulas.list', {});
  if (told !== null) formulas.value = told;
}
