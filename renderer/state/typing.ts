import { signal } from '@preact/signals';
import type { Trouble } from '../../electron/host/table.ts';
import { bench } from './bench.ts';
import { askReply } from './host.ts';

/** What stands in the field for the figure. */
export const typedText = signal('');
/** Why the last figure was not taken. */
export const typedTrouble = signal<Trouble | null>(null);

/**
 * Takes the figure in the field. The field is free at once, since a balance that types may send the next; a figure
 * that is refused comes back into it.
 */
export async function takeTyped(): Promise<void> {
  const text = typedText.value;
  typedText.value = '';
  if (text.trim() === '') return;
  const reply = await askReply('balance.type', { text });
  if (reply.ok) {
    bench.value = reply.value;
    typedTrouble.value = null;
    return;
  }
  typedTrouble.value = reply.trouble;
  if (typedText.value === '') typedText.value = text;
}
