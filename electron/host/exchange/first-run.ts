import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { demoWorkshop } from '../demo.ts';
import { checkFile } from '../store/backup.ts';
import { openDatabase } from '../store/database.ts';
import { FILE_NAME } from '../store/files.ts';
import { prepareRestore, waitingRestore } from '../store/restore.ts';
import type { Store } from '../store/store.ts';
import type { Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';

const HOLDS = 'holds the demo workshop';

/** Whether this workshop is the demo: it was loaded here, and something is on the shelf. */
const holdsDemo = ({ workshop }: Store): boolean => workshop.setting(HOLDS) === 'yes' && !workshop.isEmpty();

/** Whether a database without anything in it waits to be put in place at the next start. */
function emptyWaits(folder: string): boolean {
  const waiting = waitingRestore(folder);
  if (!existsSync(waiting)) return false;
  const { version: _, ...rows } = checkFile(waiting);
  return Object.values(rows).every((n) => n === 0);
}

/** How the workshop stands: whether anything is in it, and whether that is the demo. */
export function workshopState(store: Store): Output<'workshop.state'> {
  const demo = holdsDemo(store);
  return {
    empty: store.workshop.isEmpty(),
    demo,
    batches: store.catalog.count(),
    emptyNext: demo && emptyWaits(store.folder),
  };
}

/**
 * Loads the demo workshop into an empty data folder; one that holds it already is left as it is.
 * @param at now, RFC 3339
 * @throws HostTrouble where anything else is there: the demo is never mixed into a workshop of one's own
 */
export function loadDemo(store: Store, at: string): void {
  if (holdsDemo(store)) return;
  if (!store.workshop.isEmpty() || store.catalog.count() > 0)
    throw new HostTrouble(
      'This data folder holds a workshop already: the demo is never mixed into one.',
      store.folder,
      'Start with another folder, as in "npm start -- --demo --data demo". Lessons of Practice need no demo.',
    );
  const { written, ...shelf } = demoWorkshop();
  store.together(() => {
    store.workshop.set(HOLDS, 'yes');
    store.workshop.add(shelf);
    for (const one of written) store.versions.save(one, { why: 'came with the demo workshop', at });
  });
}

/**
 * Lets an empty workshop take the place of the demo at the next start; what is here now is then kept beside it under a
 * dated name, as after every restore.
 * @throws HostTrouble where this is not the demo; StoreTrouble when there is no room
 */
export function startEmpty(store: Store): void {
  if (!holdsDemo(store))
    throw new HostTrouble(
      'This is not the demo workshop.',
      store.folder,
      'Start with --data and another folder for an empty one.',
    );
  const folder = mkdtempSync(join(store.folder, '.empty-'));
  try {
    openDatabase(folder).close();
    prepareRestore(store.folder, join(folder, FILE_NAME));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
