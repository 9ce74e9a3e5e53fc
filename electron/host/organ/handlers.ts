import { bottleOf } from '../../../core/formula/bottle.ts';
import { ETHANOL } from '../../../core/formula/defaults.ts';
import type { Lot, Material } from '../../../core/formula/types.ts';
import { BLENDS, SHELVES, shelfPlace, shelves } from '../organ.ts';
import { placeOf, type Rooms } from '../rooms.ts';
import type { Workshop } from '../store/workshop.ts';
import type { Input, Output } from '../table.ts';
import { dilute, dilutionPlan } from './diluting.ts';
import { lotSheet } from './lot-sheet.ts';
import { finish, freeCode, putLot, sayStock } from './lots.ts';
import { materialSheet, putMaterial } from './materials.ts';

const now = (): string => new Date().toISOString();
const today = (): string => now().slice(0, 10);

const byName = (a: { readonly name: string }, b: { readonly name: string }): number =>
  a.name.localeCompare(b.name, 'en');

/** What most dilutions are made with stands first, the strongest before the others. */
const ethanolFirst = (a: Lot, b: Lot): number =>
  Number(b.composition[ETHANOL] ?? 0) - Number(a.composition[ETHANOL] ?? 0) || byName(a, b);

const isSolvent = (lot: Lot, materials: ReadonlyMap<string, Material>): boolean =>
  bottleOf(lot, materials).kind === 'solvent';

/** What the forms of the Organ choose from: families, materials, solvents. */
function choices({ materials, lots }: Workshop): Output<'organ.choices'> {
  const byKey = new Map(materials.map((one) => [one.key, one]));
  const families = new Set([...SHELVES, 'solvents', ...materials.map((one) => one.family)]);
  families.delete(BLENDS);
  const standing = lots
    .filter((lot) => lot.finished === undefined && isSolvent(lot, byKey))
    .sort(ethanolFirst);
  return {
    families: [...families].sort((a, b) => shelfPlace(a) - shelfPlace(b) || a.localeCompare(b, 'en')),
    materials: [...materials].sort(byName).map(({ key, name, kind }) => ({ key, name, kind })),
    solventLots: standing.map(({ code, name, stock }) => ({
      value: code,
      says: `${name} (${code}${stock === undefined ? '' : `, ${stock} g`})`,
    })),
    solvents: [
      ...standing.map(({ code, name }) => ({ value: `lot:${code}`, says: `${name} (${code})` })),
      ...materials
        .filter((one) => one.kind === 'solvent')
        .sort(byName)
        .map(({ key, name }) => ({ value: `material:${key}`, says: `${name}, pure` })),
    ],
  };
}

/** Answers the calls about materials, lots and stock. */
export function organHandlers(rooms: Rooms) {
  const { store } = rooms;
  return {
    'organ.shelves': () => shelves(store.workshop.read(), store.stock.most(), today()),
    'organ.choices': () => choices(store.workshop.read()),
    'organ.material': ({ key }: Input<'organ.material'>) => materialSheet(store.workshop.read(), key),
    'organ.put-material': (input: Input<'organ.put-material'>) => putMaterial(store, input),
    'organ.lot': ({ code }: Input<'organ.lot'>) => lotSheet(store, code, today()),
    'organ.free-code': ({ material }: Input<'organ.free-code'>) => ({
      code: freeCode(store.workshop.read(), material),
    }),
    'organ.put-lot': (input: Input<'organ.put-lot'>) => putLot(rooms, input),
    'organ.finish': ({ code, finished }: Input<'organ.finish'>) => {
      finish(rooms, code, finished, today());
      return lotSheet(store, code, today());
    },
    'organ.stock': (input: Input<'organ.stock'>) => sayStock(rooms, input, now()),
    'organ.dilution': (ask: Input<'organ.dilution'>) => dilutionPlan(ask, placeOf(rooms)),
    'organ.dilute': (ask: Input<'organ.dilute'>) =>
      dilute(ask, placeOf(rooms), (formula) =>
        store.workshop.add({ materials: [], lots: [], formulas: [formula] }),
      ),
  };
}
