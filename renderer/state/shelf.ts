import { signal } from '@preact/signals';
import type { Draft, ShelfOffer, Trouble } from '../../electron/host/table.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';
import { takeDraft } from './planning.ts';
import { fetchWaiting } from './waiting.ts';

/** A closed batch on its way to the shelf. */
export interface Shelving {
  readonly batch: string;
  readonly offer: ShelfOffer;
  readonly code: string;
  readonly name: string;
  /** Why it could not be put there. */
  readonly trouble: Trouble | null;
  /** The plan that had waited for it and is back on the sheet. */
  readonly back: Draft | null;
}

/** The batch that is offered to the shelf; null when none is. */
export const shelving = signal<Shelving | null>(null);

const offering = latest();

/** Asks what a closed batch would be on the shelf, or is there already. */
export async function offerShelf(batch: string): Promise<void> {
  const wantedStill = offering();
  if (shelving.value?.batch === batch) return;
  shelving.value = null;
  const reply = await askReply('records.shelf', { batch });
  if (reply.ok && wantedStill())
    shelving.value = {
      batch,
      offer: reply.value,
      code: reply.value.code,
      name: reply.value.name,
      trouble: null,
      back: null,
    };
}

/** Takes down what is typed on the label. */
export function label(part: { readonly code?: string; readonly name?: string }): void {
  if (shelving.value !== null) shelving.value = { ...shelving.value, ...part };
}

const NOT_LABELLED: Trouble = {
  what: 'The bottle has no code or no name.',
  where: 'label',
  next: 'Type both: they are what is written on bottle and lid.',
};

/** Puts the batch on the shelf; the plan that had waited for it comes back onto the sheet. */
export async function shelve(): Promise<void> {
  const now = shelving.value;
  if (now === null) return;
  const code = now.code.trim();
  const name = now.name.trim();
  if (code === '' || name === '') {
    shelving.value = { ...now, trouble: NOT_LABELLED };
    return;
  }
  const reply = await askReply('records.shelve', { batch: now.batch, code, name });
  if (!reply.ok) {
    shelving.value = { ...now, trouble: reply.trouble };
    return;
  }
  const { back } = reply.value;
  shelving.value = { ...now, trouble: null, offer: { code, name, done: true }, back };
  await fetchWaiting();
  if (back !== null) await takeDraft(back);
}
