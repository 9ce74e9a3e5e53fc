import type Database from 'better-sqlite3';
import type { Formula, Lot, Material } from '../../../core/formula/types.ts';
import { decimal } from '../../../core/quantity/decimal.ts';
import type { StockStore } from './stock.ts';
import { onDisk } from './trouble.ts';

export interface Workshop {
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  readonly formulas: readonly Formula[];
}

/** Materials, lots and formulas of the workshop, and the settings of the program. */
export interface WorkshopStore {
  /** Everything, each lot with what it holds now (zero where more was poured than was said to be there). */
  read(): Workshop;
  /**
   * Adds what is not there yet, in one transaction; what is there stays. A stock that a new lot states becomes its first
   * entry of stock.
   */
  add(workshop: Workshop): void;
  /** Writes a material anew, or for the first time. */
  putMaterial(material: Material): void;
  /** Writes a lot anew; what it says of its stock is not taken: that is told by entries. */
  putLot(lot: Lot): void;
  isEmpty(): boolean;
  setting(name: string): string | null;
  /** Settings whose name begins so, as name and value. */
  settingsUnder(beginning: string): readonly { readonly name: string; readonly value: string }[];
  set(name: string, value: string): void;
}

/** Workshop on an open database. */
export function openWorkshop(
  db: Database.Database,
  stock: StockStore,
  now: () => string = () => new Date().toISOString(),
): WorkshopStore {
  const bodies = (table: 'material' | 'lot' | 'formula', order: string) =>
    db.prepare<[], { body: string }>(`SELECT body FROM ${table} ORDER BY ${order}`);
  const materials = bodies('material', 'key');
  const lots = bodies('lot', 'code');
  const formulas = bodies('formula', 'name, id');
  const addMaterial = db.prepare('INSERT OR IGNORE INTO material (key, body) VALUES (?, ?)');
  const addLot = db.prepare('INSERT OR IGNORE INTO lot (code, body) VALUES (?, ?)');
  const addFormula = db.prepare('INSERT OR IGNORE INTO formula (id, name, body) VALUES (?, ?, ?)');
  const putMaterial = db.prepare(
    'INSERT INTO material (key, body) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET body = excluded.body',
  );
  const putLot = db.prepare(
    'INSERT INTO lot (code, body) VALUES (?, ?) ON CONFLICT (code) DO UPDATE SET body = excluded.body',
  );
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

  const bodyOf = ({ stock: _, ...lot }: Lot): string => JSON.stringify(lot);
  function addNewLot(lot: Lot): void {
    if (addLot.run(lot.code, bodyOf(lot)).changes === 0 || lot.stock === undefined) return;
    const made = lot.madeBy !== undefined;
    const why = made ? 'as made' : 'as stated with the lot';
    stock.append({ lot: lot.code, kind: made ? 'received' : 'stated', g: lot.stock, who: '', why }, now());
  }
  function withStock(given: readonly Lot[]): Lot[] {
    const held = stock.all();
    return given.map((lot) => {
      const g = held.get(lot.code);
      return g === undefined ? lot : { ...lot, stock: decimal(g).isNegative() ? '0' : g };
    });
  }

  return {
    read: () => ({
      materials: parsed<Material>(materials.all()),
      lots: withStock(parsed<Lot>(lots.all())),
      formulas: parsed<Formula>(formulas.all()),
    }),
    putMaterial: (material) => {
      onDisk(db.name, () => putMaterial.run(material.key, JSON.stringify(material)));
    },
    putLot: (lot) => {
      onDisk(db.name, () => putLot.run(lot.code, bodyOf(lot)));
    },
    add: (workshop) =>
      onDisk(
        db.name,
        db.transaction(() => {
          for (const one of workshop.materials) addMaterial.run(one.key, JSON.stringify(one));
          for (const one of workshop.lots) addNewLot(one);
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
