import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { askReply } from './host.ts';

type Counts = Output<'store.restore'>['counts'];

/** What the last backup or restore came to, in words; null before the first. */
export const kept = signal<string | null>(null);
/** Why it was not done. */
export const keepTrouble = signal<{ readonly of: 'backup' | 'restore'; readonly trouble: Trouble } | null>(
  null,
);
/** The file that a restore is to be taken from. */
export const restoreFrom = signal('');
/** A restore waits for the next start. */
export const restoreWaits = signal(false);
/** Something is being written or checked. */
export const keeping = signal(false);

const countText = ({ batches, events, lots }: Counts): string =>
  `${batches} batches, ${events} events, ${lots} lots`;

async function doing(work: () => Promise<void>): Promise<void> {
  if (keeping.value) return;
  keeping.value = true;
  kept.value = null;
  keepTrouble.value = null;
  try {
    await work();
  } finally {
    keeping.value = false;
  }
}

/** Writes a checked copy of the database. */
export const backUp = (): Promise<void> =>
  doing(async () => {
    const reply = await askReply('store.backup', {});
    if (!reply.ok) {
      keepTrouble.value = { of: 'backup', trouble: reply.trouble };
      return;
    }
    const { path, counts } = reply.value;
    kept.value =
      path === null || counts === null
        ? 'No backup was written.'
        : `Written and checked, ${countText(counts)}: ${path}`;
  });

/** Checks the named backup; it takes the database's place at the next start. */
export const restore = (): Promise<void> =>
  doing(async () => {
    const path = restoreFrom.value.trim();
    if (path === '') {
      const trouble = { what: 'No file is named.', where: 'restore', next: 'Type the path of a backup.' };
      keepTrouble.value = { of: 'restore', trouble };
      return;
    }
    const reply = await askReply('store.restore', { path });
    if (!reply.ok) {
      keepTrouble.value = { of: 'restore', trouble: reply.trouble };
      return;
    }
    restoreWaits.value = true;
    kept.value = `Checked, ${countText(reply.value.counts)}. It takes the place of the present database at the next start; that one is set aside, not lost.`;
  });

/** Takes back a restore that waits. */
export const forgetRestore = (): Promise<void> =>
  doing(async () => {
    const reply = await askReply('store.restore-forget', {});
    if (!reply.ok) {
      keepTrouble.value = { of: 'restore', trouble: reply.trouble };
      return;
    }
    restoreWaits.value = false;
    kept.value = 'Nothing is restored at the next start.';
  });
