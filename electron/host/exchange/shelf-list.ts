import { defaultMaterial } from '../../../core/formula/defaults.ts';
import type { Lot, Material } from '../../../core/formula/types.ts';
import { type DecimalText, decimal } from '../../../core/quantity/decimal.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import type { Workshop } from '../store/workshop.ts';
import { diluted, dilutionNamed, type Liquid, liquidNamed, materialNamed, missingOf } from './named.ts';
import { keyOf, type ListRow } from './reading.ts';
import {
  type CellReading,
  casAt,
  dateAt,
  densityAt,
  familyAt,
  kindAt,
  massAt,
  noteAt,
  percentText,
  priceAt,
  solidAt,
  strengthAt,
} from './shelf-cells.ts';

/** Something of a list, beside what the workshop has under the same identity. */
export interface Brought<T> {
  readonly row: number;
  readonly is: T;
  readonly was: T | null;
}

export interface ShelfList {
  readonly materials: readonly Brought<Material>[];
  readonly lots: readonly Brought<Lot>[];
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
}

const LOT_FIELDS = ['code', 'stock', 'price', 'bestBefore', 'received', 'opened', 'supplierLot', 'place'];
/** The longest code and name that a label holds. */
const LONGEST = { code: 24, name: 80 };

const given = <T extends object>(fields: T): { [K in keyof T]: Exclude<T[K], undefined | null> } =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined && value !== null)) as {
    [K in keyof T]: Exclude<T[K], undefined | null>;
  };

/** What a row says of its strength, from its column or its name. */
interface Diluted {
  readonly name: string;
  readonly strength: DecimalText | null;
  readonly solvent: string;
}

class ShelfReader {
  readonly #workshop: Workshop;
  readonly #how: CellReading;
  readonly #solvent: string;
  readonly #materials = new Map<string, Brought<Material>>();
  readonly #lots = new Map<string, Brought<Lot>>();
  readonly #leftOut: { row: number; why: string }[] = [];

  constructor(workshop: Workshop, how: CellReading, solvent: string) {
    this.#workshop = workshop;
    this.#how = how;
    this.#solvent = solvent;
  }

  read(rows: readonly ListRow[]): ShelfList {
    for (const row of rows) this.#row(row);
    return {
      materials: [...this.#materials.values()],
      lots: [...this.#lots.values()],
      leftOut: this.#leftOut,
    };
  }

  #row(row: ListRow): void {
    const { remarks } = this.#how;
    const before = remarks.all.length;
    if (row.at('name') === '') {
      remarks.wrong(row, 'name', 'The row names no material.', 'Write its name, or leave the row out.');
      return;
    }
    const dilution = this.#dilution(row);
    const liquid =
      dilution.strength === null || decimal(dilution.strength).eq(1) ? liquidNamed(dilution.name, []) : null;
    const material = this.#material(row, liquid?.material === 'ethanol' ? 'Ethanol' : dilution.name);
    const hasLot = dilution.strength !== null || LOT_FIELDS.some((field) => row.at(field) !== '');
    const lot = hasLot ? this.#lot(row, material.is, dilution, liquid) : null;
    if (remarks.all.slice(before).some((one) => one.stops)) return;
    this.#keep(material, lot);
  }

  #dilution(row: ListRow): Diluted {
    const name = row.at('name');
    const strength = strengthAt(row, this.#how);
    const told = dilutionNamed(name);
    const solvent = row.at('solvent') || told?.solvent || this.#solvent;
    if (strength !== null || told === null) return { name: told?.neat ?? name, strength, solvent };
    const { percent } = told;
    const fraction = decimal(percent).div(100);
    this.#how.remarks.note(row, 'name', `"${name}" is taken as ${told.neat}, diluted to ${percent} %.`);
    return { name: told.neat, strength: fraction.toFixed(), solvent };
  }

  #material(row: ListRow, name: string): Brought<Material> {
    const how = this.#how;
    const { materials } = this.#workshop;
    const cas = casAt(row, how);
    const byName = materialNamed(name, materials);
    const byCas = cas === null ? undefined : materials.find((one) => one.cas === cas);
    const was = byName ?? byCas ?? null;
    if (byName === null && byCas !== undefined)
      how.remarks.note(row, 'name', `"${name}" has the CAS number of ${byCas.name}, and is taken as that.`);
    const family = familyAt(row);
    const known = liquidNamed(name, [])?.material;
    const key = was?.key ?? known ?? keyOf(name);
    const solid = solidAt(row);
    const base = was ?? { ...defaultMaterial(key, kindAt(row, family), solid === true), name };
    const others = row
      .at('otherNames')
      .split(/[;|/]/)
      .map((one) => one.trim())
      .filter(Boolean);
    const stated = given({
      note: base.kind === 'solvent' ? undefined : noteAt(row, how),
      family,
      solid: solid === true || base.solid === true ? solid : undefined,
      cas: cas ?? undefined,
      density: sameFigure(densityAt(row, how), base.density),
      otherNames: others.length === 0 ? undefined : others,
    });
    if (name.length > LONGEST.name)
      how.remarks.wrong(row, 'name', `The name is longer than ${LONGEST.name} letters.`, 'Shorten it.');
    return { row: row.row, is: { ...base, ...stated } as Material, was };
  }

  #lot(
    row: ListRow,
    material: Material,
    { strength, solvent }: Diluted,
    liquid: Liquid | null,
  ): Brought<Lot> | null {
    const how = this.#how;
    const code = row.at('code') || this.#freeCode(material);
    if (code.length > LONGEST.code || /\p{Cc}/u.test(code)) {
      how.remarks.wrong(
        row,
        'code',
        `The code "${code}" is longer than ${LONGEST.code} letters.`,
        'Shorten it.',
      );
      return null;
    }
    const was = this.#workshop.lots.find((one) => one.code === code) ?? null;
    const made = this.#contents(row, material, strength, solvent, liquid, was);
    if (made === null) return null;
    const stated = given({
      stock: sameFigure(massAt(row, 'stock', how), was?.stock),
      price: sameFigure(priceAt(row, how), was?.price),
      bestBefore: dateAt(row, 'bestBefore', how),
      received: dateAt(row, 'received', how),
      opened: dateAt(row, 'opened', how),
      supplierLot: row.at('supplierLot') || undefined,
      place: row.at('place') || undefined,
    });
    return { row: row.row, is: { ...(was ?? { code }), ...made, ...stated } as Lot, was };
  }

  /** Name and composition of the bottle; what is there stays where the row says nothing of its strength. */
  #contents(
    row: ListRow,
    material: Material,
    strength: DecimalText | null,
    solvent: string,
    liquid: Liquid | null,
    was: Lot | null,
  ): Pick<Lot, 'name' | 'composition'> | null {
    const kept = (composition: Lot['composition']): boolean =>
      was !== null && canonicalJson(was.composition) === canonicalJson(composition);
    if (was !== null && strength === null) return { name: was.name, composition: was.composition };
    if (strength === null || decimal(strength).eq(1)) {
      const composition = liquid?.composition ?? { [material.key]: '1' };
      if (was !== null && kept(composition)) return { name: was.name, composition: was.composition };
      return { name: Object.keys(composition).length > 1 ? row.at('name') : material.name, composition };
    }
    const found = solvent === '' ? null : liquidNamed(solvent, this.#workshop.materials);
    if (found === null) {
      this.#how.remarks.wrong(
        row,
        row.column('solvent') === null ? 'strength' : 'solvent',
        solvent === ''
          ? 'The solvent of the dilution is not told.'
          : `"${solvent}" is no solvent that is known here.`,
        'Choose one for all dilutions above, or bring the solvent in first.',
      );
      return null;
    }
    const composition = diluted(material.key, strength, found);
    if (was !== null && kept(composition)) return { name: was.name, composition: was.composition };
    return { name: `${material.name} ${percentText(strength)} % in ${found.name}`, composition };
  }

  #freeCode(material: Material): string {
    const start =
      keyOf(material.name)
        .replace(/[^a-z0-9]/g, '')
        .slice(0, 2)
        .toUpperCase() || 'LT';
    const taken = (code: string) =>
      this.#lots.has(code) || this.#workshop.lots.some((one) => one.code === code);
    for (let n = 1; ; n += 1) {
      const code = `${start}-${String(n).padStart(2, '0')}`;
      if (!taken(code)) return code;
    }
  }

  #keep(material: Brought<Material>, lot: Brought<Lot> | null): void {
    const { key, name } = material.is;
    const { remarks } = this.#how;
    const row = { row: material.row, at: () => '', column: () => null, unit: () => null };
    const before = this.#materials.get(key);
    const twin = lot === null ? undefined : this.#lots.get(lot.is.code);
    if (lot === null && before !== undefined) {
      if (canonicalJson(before.is) === canonicalJson(material.is))
        this.#leftOut.push({ row: material.row, why: `repeats ${name} of row ${before.row}` });
      else
        remarks.wrong(
          row,
          null,
          `${name} is in row ${before.row} too, and told otherwise there.`,
          'Leave one of the rows out, or name them apart.',
        );
      return;
    }
    if (lot !== null && twin !== undefined) {
      if (canonicalJson(twin.is) === canonicalJson(lot.is))
        this.#leftOut.push({ row: lot.row, why: `repeats the bottle ${lot.is.code} of row ${twin.row}` });
      else
        remarks.wrong(
          row,
          null,
          `The code ${lot.is.code} is in row ${twin.row} too, for a bottle told otherwise.`,
          'Give one of them another code, or leave a row out.',
        );
      return;
    }
    if (before === undefined) this.#materials.set(key, material);
    else if (canonicalJson(before.is) !== canonicalJson(material.is))
      remarks.note(row, null, `${name} is told otherwise in row ${before.row}: what stands there is taken.`);
    if (lot === null) return;
    this.#lots.set(lot.is.code, lot);
    const known = new Set([...this.#workshop.materials.map((one) => one.key), ...this.#materials.keys()]);
    for (const one of missingOf(lot.is.composition, known))
      this.#materials.set(one.key, { row: lot.row, is: one, was: null });
  }
}

/** A figure as it is kept: where it is the same number as before, with the digits it has there. */
const sameFigure = (now: DecimalText | null, before: DecimalText | undefined): DecimalText | undefined =>
  now === null ? undefined : before !== undefined && decimal(before).eq(now) ? before : now;

/**
 * Materials and bottles from the rows of a list, beside what the workshop has under the same key and code. What is
 * wrong with a row is remarked, and the row is in nothing that is given back.
 * @param solvent what dilutions are made with where the list does not say; empty for none
 */
export const readShelfList = (
  rows: readonly ListRow[],
  workshop: Workshop,
  how: CellReading,
  solvent: string,
): ShelfList => new ShelfReader(workshop, how, solvent).read(rows);
