import type { ShelfView } from '../../electron/host/table.ts';

type Material = ShelfView['materials'][number];
type Lot = Material['lots'][number];

/** What the shelves are narrowed to; an empty text narrows nothing. */
export interface Narrowing {
  /** Beginnings or parts of words, all of which must be found. */
  readonly words: string;
  readonly note: '' | 'top' | 'heart' | 'base';
  readonly family: string;
  readonly strength: '' | 'neat' | 'strong' | 'middle' | 'weak' | 'solvent';
  readonly expiry: '' | 'soon' | 'past' | 'none';
  readonly stock: '' | 'at hand' | 'low' | 'not known';
  /** Lots that are used up are shown too. */
  readonly finished: boolean;
}

export const WIDE: Narrowing = {
  words: '',
  note: '',
  family: '',
  strength: '',
  expiry: '',
  stock: '',
  finished: false,
};

/** One lot of a material, or a material that has none, with all that is searched in it. */
interface Row {
  readonly text: string;
  readonly lot: Lot | null;
}

interface Entry {
  readonly family: string;
  readonly material: Material;
  readonly rows: readonly Row[];
}

/** The shelves made ready for searching. */
export interface OrganIndex {
  readonly entries: readonly Entry[];
  /** Lots by their code in small letters, as a scanner under caps lock may send it. */
  readonly codes: ReadonlyMap<string, string>;
}

/** Small letters without accents, so that "Fève" is found by "feve". */
const folded = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase();

/** Makes the shelves ready for searching, in the order they stand. */
export function indexOf(shelves: readonly ShelfView[]): OrganIndex {
  const codes = new Map<string, string>();
  const entries = shelves.flatMap(({ family, materials }) =>
    materials.map((material): Entry => {
      const { name, otherNames, note, cas, lots } = material;
      const own = folded([name, ...otherNames, note ?? '', family, cas ?? ''].join('\n'));
      for (const { code } of lots) codes.set(code.toLowerCase(), code);
      const rows = lots.map((lot) => ({
        lot,
        text: `${own}\n${folded([lot.code, lot.name, lot.supplierLot ?? ''].join('\n'))}`,
      }));
      return { family, material, rows: rows.length === 0 ? [{ lot: null, text: own }] : rows };
    }),
  );
  return { entries, codes };
}

/** The code of the lot that was typed or scanned whole; null where it is none. */
export const lotByCode = (index: OrganIndex, typed: string): string | null =>
  index.codes.get(typed.trim().toLowerCase()) ?? null;

/** Bounds of the strengths told apart, as mass fractions. */
const STRONG = 0.2;
const WEAK = 0.05;

function isOfStrength({ neat, strength }: Lot, wanted: Narrowing['strength']): boolean {
  const diluted = neat > 0 && strength !== 'neat';
  switch (wanted) {
    case '':
      return true;
    case 'neat':
      return strength === 'neat';
    case 'solvent':
      return neat === 0;
    case 'strong':
      return diluted && neat >= STRONG;
    case 'middle':
      return diluted && neat < STRONG && neat >= WEAK;
    case 'weak':
      return diluted && neat < WEAK;
  }
}

function isOfExpiry({ expiry, bestBefore }: Lot, wanted: Narrowing['expiry']): boolean {
  if (wanted === 'none') return bestBefore === null;
  return wanted === '' || (expiry !== null && expiry.past === (wanted === 'past'));
}

function isOfStock({ stock, low }: Lot, wanted: Narrowing['stock']): boolean {
  if (wanted === 'not known') return stock === null;
  if (wanted === 'low') return low !== null;
  return wanted === '' || (stock !== null && Number(stock) > 0);
}

/** A material without a lot is shown where nothing is asked of lots. */
function fits({ lot, text }: Row, words: readonly string[], wanted: Narrowing): boolean {
  if (!words.every((word) => text.includes(word))) return false;
  if (lot === null) return wanted.strength === '' && wanted.expiry === '' && wanted.stock === '';
  return (
    (wanted.finished || !lot.finished) &&
    isOfStrength(lot, wanted.strength) &&
    isOfExpiry(lot, wanted.expiry) &&
    isOfStock(lot, wanted.stock)
  );
}

/** What is left of the shelves, in their order, with how many materials and lots there are in all of it. */
export interface Found {
  readonly shelves: readonly ShelfView[];
  readonly materials: number;
  readonly lots: number;
}

/** The bare material is shown when all its lots are used up and nothing is asked of them. */
const bare = ({ material, rows }: Entry, words: readonly string[], wanted: Narrowing): boolean =>
  wanted.strength === '' &&
  wanted.expiry === '' &&
  wanted.stock === '' &&
  material.kind !== 'blend' &&
  rows.every(({ lot }) => lot?.finished === true) &&
  rows.some(({ text }) => words.every((word) => text.includes(word)));

/** Narrows the shelves. */
export function narrowed(index: OrganIndex, wanted: Narrowing): Found {
  const words = folded(wanted.words)
    .split(/\s+/)
    .filter((word) => word !== '');
  const shelves = new Map<string, Material[]>();
  let materials = 0;
  let lots = 0;
  for (const entry of index.entries) {
    const { family, material, rows } = entry;
    if (wanted.note !== '' && material.note !== wanted.note) continue;
    if (wanted.family !== '' && family !== wanted.family) continue;
    const left = rows.filter((row) => fits(row, words, wanted));
    if (left.length === 0 && !bare(entry, words, wanted)) continue;
    const standing = left.flatMap(({ lot }) => (lot === null ? [] : [lot]));
    materials += 1;
    lots += standing.length;
    const shelf = shelves.get(family);
    const shown = standing.length === material.lots.length ? material : { ...material, lots: standing };
    if (shelf === undefined) shelves.set(family, [shown]);
    else shelf.push(shown);
  }
  return {
    shelves: [...shelves].map(([family, own]) => ({ family, materials: own })),
    materials,
    lots,
  };
}

/** The first so many materials of what was found, and whether more follow. */
export function firstOf(
  { shelves, materials }: Found,
  count: number,
): { readonly shelves: readonly ShelfView[]; readonly more: number } {
  let room = count;
  const shown: ShelfView[] = [];
  for (const shelf of shelves) {
    if (room <= 0) break;
    shown.push(
      room >= shelf.materials.length ? shelf : { ...shelf, materials: shelf.materials.slice(0, room) },
    );
    room -= shelf.materials.length;
  }
  return { shelves: shown, more: Math.max(0, materials - count) };
}
