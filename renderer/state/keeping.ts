import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { askReply } from './host.ts';

type Counts = Output<'store.restore'>['counts'];

/** What the last backup or restore came to, in words: a line for the workshop, and one for Practice. */
export const kept = signal<readonly string[]>([]);
/** Why it was not done. */
export const keepTrouble = signal<{ readonly of: 'backup' | 'restore'; readonly trouble: Trouble } | null>(
  null,
);
/** The file that a restore is to be taken from. */
export const restoreFrom = signal('');
/** What a restore that waits for the next start holds; null where none waits. */
export const restoreWaits = signal<Counts | null>(null);
/** Something is being written or checked. */
export const keeping = signal(false);

const practiceText = ({ learners, attempts }: Counts): string =>
  `${learners} ${learners === 1 ? 'learner' : 'learners'}, ${attempts} ${attempts === 1 ? 'lesson' : 'lessons'} done`;

export const countText = ({ batches, events, lots }: Counts): string =>
  `${batches} batches, ${events} events, ${lots} lots`;

async function doing(work: () => Promise<void>): Promise<void> {
  if (keeping.value) return;
  keeping.value = true;
  kept.value = [];
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
    const { path, counts, practice } = reply.value;
    kept.value =
      path === null || counts === null
        ? ['No backup was written.']
        : [
            `Written and checked, ${countText(counts)}: ${path}`,
            practice === null
              ? 'Nobody has practised here: there is nothing of Practice to write.'
              : `Practice is written and checked, ${practiceText(practice.counts)}: ${practice.path}`,
          ];
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
    const { counts, practice } = reply.value;
    restoreWaits.value = counts;
    kept.value = [
      `Checked, ${countText(counts)}. It takes the place of the present database at the next start; that one is set aside, not lost.`,
      practice === null
        ? 'No backup of Practice lies beside it: Practice stays as it is.'
        : `Practice lies beside it, checked, ${practiceText(practice)}: it comes back with it.`,
    ];
  });

/** Asks whether a restore waits, as it does still where the window was opened anew. */
export async function fetchWaiting(): Promise<void> {
  const reply = await askReply('store.restore-waits', {});
  if (reply.ok) restoreWaits.value = reply.value.counts;
  else keepTrouble.value = { of: 'restore', trouble: reply.trouble };
}

/** Takes back a restore that waits. */
export const forgetRestore = (): Promise<void> =>
  doing(async () => {
    const reply = await askReply('store.restore-forget', {});
    if (!reply.ok) {
      keepTrouble.value = { of: 'restore', trouble: reply.trouble };
      return;
    }
    restoreWaits.value = null;
    kept.value = ['Nothing is restored at the next start.'];
  });
