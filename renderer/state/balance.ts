import { signal } from '@preact/signals';
import type { BalanceChoice, Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

export const ports = signal<Output<'balance.ports'> | null>(null);
export const shapes = signal<Output<'balance.shapes'>>([]);
/** The choice the host remembers. */
export const chosen = signal<BalanceChoice | null>(null);
/** A choice is being taken up. */
export const choosing = signal(false);

export async function fetchPorts(): Promise<void> {
  const told = await ask('balance.ports', {});
  if (told !== null) ports.value = told;
}

/** Ports, shapes and the remembered choice. */
export async function fetchBalances(): Promise<void> {
  const [known, kept] = await Promise.all([
    ask('balance.shapes', {}),
    ask('balance.chosen', {}),
    fetchPorts(),
  ]);
  if (known !== null) shapes.value = known;
  chosen.value = kept;
}

export async function choose(choice: BalanceChoice): Promise<void> {
  choosing.value = true;
  const told = await ask('balance.choose', choice);
  choosing.value = false;
  if (told !== null) chosen.value = choice;
}

export const press = (key: 'tare' | 'zero'): Promise<unknown> => ask('balance.press', { key });
