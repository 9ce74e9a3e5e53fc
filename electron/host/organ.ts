import type { Lot, Material } from '../../core/formula/types.ts';
import { Decimal, decimal } from '../../core/quantity/decimal.ts';
import type { ShelfView } from './table.ts';

/** Shelves in the order they stand; a family of one's own comes after these, solvents last. */
export const SHELVES = [
  'florals',
  'citruses',
  'fruits',
  'spices',
  'greens',
  'aromatics',
  'woods',
  'resins',
  'balsams',
  'musks',
];

function place(family: string): number {
  if (family === 'solvents') return SHELVES.length + 1;
  const at = SHELVES.indexOf(family);
  return at < 0 ? SHELVES.length : at;
}

/** The neat material or solvent that a lot is mostly told by: the neat one with most mass, else the largest part. */
function namedBy(lot: Lot, materials: ReadonlyMap<string, Material>): string | null {
  const parts = Object.entries(lot.composition).sort(([, a], [, b]) => decimal(b).cmp(decimal(a)));
  const neat = parts.find(([key]) => materials.get(key)?.kind === 'neat');
  return (neat ?? parts[0])?.[0] ?? null;
}

function strength(lot: Lot, materials: ReadonlyMap<string, Material>): Decimal {
  const neat = Object.entries(lot.composition).filter(([key]) => materials.get(key)?.kind === 'neat');
  return neat.reduce((sum, [, fraction]) => sum.plus(decimal(fraction)), new Decimal(0));
}

/** Strength as shown: per cent of neat material, "neat", or a dash for a solvent. */
function strengthText(lot: Lot, materials: ReadonlyMap<string, Material>): string {
  const fraction = strength(lot, materials);
  if (fraction.isZero()) return '–';
  return fraction.eq(1) ? 'neat' : `${fraction.times(100).toDecimalPlaces(2).toString()} %`;
}

const byName = <T extends { readonly name: string }>(a: T, b: T): number =>
  a.name.localeCompare(b.name, 'en');

/** The Organ: families in shelf order, materials alphabetical within, each with its lots. */
export function shelves(materials: readonly Material[], lots: readonly Lot[]): ShelfView[] {
  const byKey = new Map(materials.map((one) => [one.key, one]));
  const lotsOf = new Map<string, Lot[]>();
  for (const lot of lots) {
    const key = namedBy(lot, byKey);
    if (key !== null) lotsOf.set(key, [...(lotsOf.get(key) ?? []), lot]);
  }
  const families = [...new Set(materials.map((one) => one.family))];
  families.sort((a, b) => place(a) - place(b) || a.localeCompare(b, 'en'));
  return families.map((family) => ({
    family,
    materials: materials
      .filter((one) => one.family === family)
      .sort(byName)
      .map((one) => ({
        key: one.key,
        name: one.name,
        note: one.note,
        kind: one.kind,
        cautions: [...(one.cautions ?? [])],
        lots: (lotsOf.get(one.key) ?? []).sort(byName).map((lot) => ({
          code: lot.code,
          name: lot.name,
          strength: strengthText(lot, byKey),
          stock: lot.stock ?? null,
          bestBefore: lot.bestBefore ?? null,
        })),
      })),
  }));
}
