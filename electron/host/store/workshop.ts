import type Database from 'better-sqlite3';
import type { Formula, Lot, Material } from '../../../core/formula/types.ts';
import { onDisk } from './trouble.ts';

export interface Workshop {
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  readonly formulas: readonly Formula[];
}

/** Materials, lots and formulas of the workshop, and the settings of the program. */
export interface WorkshopStore {
  read(): Workshop;
  /** Adds what is not there yet, in one transaction; what is there stays. */
  add(workshop: Workshop): void;
  isEmpty(): boolean;
  setting(name: string): string | null;
  /** Settings whose name begins so, as name and value. */
  settingsUnder(beginning: string): readonly { readonly name: string; readonly value: string }[];
  set(name: string, value: string): void;
}

/** Workshop on an open database. */
export function openWorkshop(db: Database.Database): WorkshopStore {
  const bodies = (table: 'material' | 'lot' | 'formula', order: string) =>
    db.prepare<[], { body: string }>(`SELECT body FROM ${table} ORDER BY ${order}`);
  const materials = bodies('material', 'key');
  const lots = bodies('lot', 'code');
  const formulas = bodies('formula', 'name, id');
  const addMaterial = db.prepare('INSERT OR IGNORE INTO material (key, body) VALUES (?, ?)');
  const addLot = db.prepare('INSERT OR IGNORE INTO lot (code, body) VALUES (?, ?)');
  const addFormula = db.prepare('INSERT OR IGNORE INTO formula (id, name, body) VALUES (?, ?, ?)');
  const count = db.prepare<[], { n: number }>(
    'SELECT (SELECT count(*) FROM material) + (SELECT count(*) FROM formula) AS n',
  );
  const get = db.prepare<[string], { value: string }>('SELECT value FROM setting WHERE name = ?');
  const under = db.prepare<[number, string], { name: string; value: string }>(
    'SELECT name, value FROM setting WHERE substr(name, 1, ?) = ? ORDER BY name',
  );
  const put = db.prepare(
    'INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
  );
  const parsed = <T>(rows: readonly { body: string }[]): T[] => rows.map((row) => JSON.parse(row.body) as T);

  return {
    read: () => ({
      materials: parsed<Material>(materials.all()),
      lots: parsed<Lot>(lots.all()),
      formulas: parsed<Formula>(formulas.all()),
    }),
    add: (workshop) =>
      onDisk(
        db.name,
        db.transaction(() => {
          for (const one of workshop.materials) addMaterial.run(one.key, JSON.stringify(one));
          for (const one of workshop.lots) addLot.run(one.code, JSON.stringify(one));
          for (const one of workshop.formulas) addFormula.run(one.id, one.name, JSON.stringify(one));
        }),
      ),
    isEmpty: () => count.get()?.n === 0,
    settingsUnder: (beginning) => under.all(beginning.length, beginning),
    setting: (name) => get.get(name)?.value ?? null,
    set: (name, value) => {
      onDisk(db.name, () => put.run(name, value));
    },
  };
}
