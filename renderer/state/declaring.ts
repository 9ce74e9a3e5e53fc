import { signal } from '@preact/signals';
import type { DeclarationView, Trouble } from '../../electron/host/table.ts';
import { fractionText } from './drafting.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';

export const USES = ['leave-on', 'rinse-off'] as const;
export type Use = (typeof USES)[number];

/** How the finished product is used, and how much of the batch it holds, in per cent as typed. */
export const use = signal<Use>('leave-on');
export const dose = signal('100');
export const declaration = signal<DeclarationView | null>(null);
export const doseTrouble = signal<Trouble | null>(null);

const NO_SHARE: Trouble = {
  what: 'This is not a share.',
  where: 'dose',
  next: 'Type per cent, as in 15 or 0.5.',
};

const asking = latest();

/** Asks what a record would declare at the dose and use as they are; only the latest answer counts. */
export async function declare(batch: string): Promise<void> {
  const wantedStill = asking();
  const fraction = fractionText(dose.value);
  const reply =
    fraction === null
      ? ({ ok: false, trouble: NO_SHARE } as const)
      : await askReply('records.declaration', { batch, use: use.value, dose: fraction });
  if (!wantedStill()) return;
  declaration.value = reply.ok ? reply.value : null;
  doseTrouble.value = reply.ok ? null : reply.trouble;
}
