import { openDatabase } from './database.ts';
import { type Journal, openJournal } from './journal.ts';
import { openWorkshop, type WorkshopStore } from './workshop.ts';

/** Everything kept on disk, in one file. */
export interface Store {
  readonly folder: string;
  readonly journal: Journal;
  readonly workshop: WorkshopStore;
  close(): void;
}

/** Opens the store in `folder`. @throws StoreTrouble, see openDatabase */
export function openStore(folder: string): Store {
  const db = openDatabase(folder);
  return { folder, journal: openJournal(db), workshop: openWorkshop(db), close: () => db.close() };
}
