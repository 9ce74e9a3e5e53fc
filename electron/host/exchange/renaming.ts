import type { Lot, Material } from '../../../core/formula/types.ts';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import type { FormulaVersionInFile } from '../../../core/record/workshop-file.ts';

/** New identities of things that are kept beside those here, by the one they came with. */
export interface Renames {
  readonly materials: ReadonlyMap<string, string>;
  readonly lots: ReadonlyMap<string, string>;
  readonly formulas: ReadonlyMap<string, string>;
}

/** The first of "X-2", "X-3", … that is not taken. */
export function freeName(name: string, taken: ReadonlySet<string>): string {
  for (let n = 2; ; n += 1) if (!taken.has(`${name}-${n}`)) return `${name}-${n}`;
}

const named = (names: ReadonlyMap<string, string>, name: string): string => names.get(name) ?? name;

const keyed = <T>(names: ReadonlyMap<string, string>, of: Readonly<Record<string, T>>): Record<string, T> =>
  Object.fromEntries(Object.entries(of).map(([key, value]) => [named(names, key), value]));

/** A material under its new key; its name says that it came in. */
export function renamedMaterial(material: Material, { materials }: Renames): Material {
  const key = named(materials, material.key);
  return key === material.key ? material : { ...material, key, name: `${material.name} (${key})` };
}

export function renamedLot(lot: Lot, { materials, lots }: Renames): Lot {
  return {
    ...lot,
    code: named(lots, lot.code),
    composition: keyed(materials, lot.composition),
    ...(lot.uncertainty === undefined ? {} : { uncertainty: keyed(materials, lot.uncertainty) }),
  };
}

function renamedWritten(written: WrittenFormula, id: string, names: Renames): WrittenFormula {
  return {
    ...written,
    id,
    name: id === written.id ? written.name : `${written.name} (${id})`,
    lines: written.lines.map((line) => ({
      ...line,
      of:
        'material' in line.of
          ? { material: named(names.materials, line.of.material) }
          : { ...line.of, formula: named(names.formulas, line.of.formula) },
      ...(line.lot === undefined ? {} : { lot: named(names.lots, line.lot) }),
      ...(line.dilution === undefined
        ? {}
        : { dilution: { ...line.dilution, solvent: named(names.materials, line.dilution.solvent) } }),
    })),
  };
}

export function renamedVersion(version: FormulaVersionInFile, names: Renames): FormulaVersionInFile {
  const { written, formula } = version;
  const id = named(names.formulas, written.id);
  const now = renamedWritten(written, id, names);
  return {
    ...version,
    written: now,
    formula: {
      ...formula,
      id,
      name: now.name,
      lines: formula.lines.map((line) => ({
        ...line,
        material: named(names.materials, line.material),
        ...(line.lot === undefined ? {} : { lot: named(names.lots, line.lot) }),
      })),
    },
  };
}
