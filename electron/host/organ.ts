import { expiryOf, lowOf, wantsOf } from '../../core/formula/supply.ts';
import type { Lot, Material } from '../../core/formula/types.ts';
import { Decimal, decimal } from '../../core/quantity/decimal.ts';
import type { Workshop } from './store/workshop.ts';
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

export function shelfPlace(family: string): number {
  if (family === 'solvents') return SHELVES.length + 2;
  if (family === BLENDS) return SHELVES.length + 1;
  const at = SHELVES.indexOf(family);
  return at < 0 ? SHELVES.length : at;
}

/** More than this of a second neat material and a lot is a blend, which stands under its own name (chosen, no source). */
const BLENDED = 0.02;

/** The material under which a lot stands: its one neat material, else the solvent with most mass; null for a blend. */
export function namedBy(lot: Lot, materials: ReadonlyMap<string, Material>): string | null {
  const parts = Object.entries(lot.composition)
    .map(([key, fraction]): [string, number] => [key, Number(fraction)])
    .sort(([, a], [, b]) => b - a);
  const neat = parts.filter(([key]) => materials.get(key)?.kind === 'neat');
  const [first, second] = neat;
  if (first !== undefined && second !== undefined && second[1] > BLENDED * first[1]) return null;
  return (first ?? parts[0])?.[0] ?? null;
}

function strength(lot: Lot, materials: ReadonlyMap<string, Material>): Decimal {
  const neat = Object.entries(lot.composition).filter(([key]) => materials.get(key)?.kind === 'neat');
  const [only] = neat;
  if (neat.length === 1 && only !== undefined) return decimal(only[1]);
  return neat.reduce((sum, [, fraction]) => sum.plus(decimal(fraction)), new Decimal(0));
}

function shownStrength(fraction: Decimal): string {
  if (fraction.isZero()) return '–';
  return fraction.eq(1) ? 'neat' : `${fraction.times(100).toDecimalPlaces(2).toString()} %`;
}

/** Strength as shown: per cent of neat material, "neat", or a dash for a solvent. */
export const strengthText = (lot: Lot, materials: ReadonlyMap<string, Material>): string =>
  shownStrength(strength(lot, materials));

const byName = <T extends { readonly name: string }>(a: T, b: T): number => ORDER.compare(a.name, b.name);
const ORDER = new Intl.Collator('en');

/** Blends stand behind all families, before the solvents. */
export const BLENDS = 'blends';

type LotView = ShelfView['materials'][number]['lots'][number];

/** Turns lots into what is shown of them. */
function viewer(
  { lots, formulas }: Pick<Workshop, 'lots' | 'formulas'>,
  byKey: ReadonlyMap<string, Material>,
  most: ReadonlyMap<string, number>,
  today: string,
): (lot: Lot) => LotView {
  const wants = wantsOf(formulas, new Map(lots.map((lot) => [lot.code, lot])));
  const shown = (lot: Lot) => {
    const fraction = strength(lot, byKey);
    return { strength: shownStrength(fraction), neat: fraction.toNumber() };
  };
  return (lot) => ({
    code: lot.code,
    name: lot.name,
    ...shown(lot),
    stock: lot.stock ?? null,
    bestBefore: lot.bestBefore ?? null,
    supplierLot: lot.supplierLot ?? null,
    finished: lot.finished !== undefined,
    low: lot.finished === undefined ? lowOf(lot, most.get(lot.code), wants.get(lot.code)) : null,
    expiry: lot.finished === undefined ? expiryOf(lot, today) : null,
  });
}

/**
 * The Organ: families in shelf order, materials alphabetical within, each with its lots; blends on a shelf of their own.
 * @param most the most each lot was ever said to hold, g
 * @param today ISO 8601 date
 */
export function shelves(
  workshop: Pick<Workshop, 'materials' | 'lots' | 'formulas'>,
  most: ReadonlyMap<string, number>,
  today: string,
): ShelfView[] {
  const { materials, lots } = workshop;
  const byKey = new Map(materials.map((one) => [one.key, one]));
  const view = viewer(workshop, byKey, most, today);
  const lotsOf = Map.groupBy(lots, (lot) => namedBy(lot, byKey) ?? '');
  const blends = (lotsOf.get('') ?? []).sort(byName).map((lot) => ({
    key: lot.code,
    name: lot.name,
    note: null,
    kind: 'blend' as const,
    ...{ otherNames: [], cas: null, cautions: [], lots: [view(lot)] },
  }));
  const byFamily = Map.groupBy(materials, (one) => one.family);
  const standing = [...byFamily].map(([family, own]) => ({
    family,
    materials: own.sort(byName).map((one) => ({
      ...{ key: one.key, name: one.name, note: one.note, kind: one.kind },
      otherNames: [...(one.otherNames ?? [])],
      cas: one.cas ?? null,
      cautions: [...(one.cautions ?? [])],
      lots: (lotsOf.get(one.key) ?? []).sort(byName).map(view),
    })),
  }));
  return [...standing, ...(blends.length === 0 ? [] : [{ family: BLENDS, materials: blends }])].sort(
    (a, b) => shelfPlace(a.family) - shelfPlace(b.family) || ORDER.compare(a.family, b.family),
  );
}
