import { type ArchiveRows, openArchiveRows } from './archive-rows.ts';
import { backupTo, type Counts } from './backup.ts';
import { type CareStore, openCare } from './care.ts';
import { type Catalog, openCatalog } from './catalog.ts';
import { openDatabase } from './database.ts';
import { type FormulaVersions, openFormulaVersions } from './formula-versions.ts';
import { type Journal, openJournal } from './journal.ts';
import { type Learning, openLearning } from './learning.ts';
import { openStock, type StockStore } from './stock.ts';
import { openTrials, type Trials } from './trials.ts';
import { onDisk } from './trouble.ts';
import { openWorkshop, type WorkshopStore } from './workshop.ts';

/** Everything kept on disk, in one file. */
export interface Store {
  readonly folder: string;
  readonly journal: Journal;
  readonly catalog: Catalog;
  readonly workshop: WorkshopStore;
  readonly stock: StockStore;
  readonly versions: FormulaVersions;
  readonly trials: Trials;
  readonly care: CareStore;
  readonly learning: Learning;
  readonly archive: ArchiveRows;
  /** Writes a checked copy of everything to `path`. @throws StoreTrouble */
  backup(path: string): Counts;
  /** Does all of `act` in one transaction: either everything it writes is stored, or nothing. @throws StoreTrouble */
  together<T>(act: () => T): T;
  close(): void;
}

/** Opens the store in `folder`. @throws StoreTrouble, see openDatabase */
export function openStore(folder: string): Store {
  const db = openDatabase(folder);
  const stock = openStock(db);
  return {
    folder,
    journal: openJournal(db),
    catalog: openCatalog(db),
    workshop: openWorkshop(db, stock),
    stock,
    versions: openFormulaVersions(db),
    trials: openTrials(db),
    care: openCare(db),
    learning: openLearning(db),
    archive: openArchiveRows(db),
    backup: (path) => backupTo(db, path),
    together: (act) => onDisk(db.name, db.transaction(act)),
    close: () => db.close(),
  };
}
