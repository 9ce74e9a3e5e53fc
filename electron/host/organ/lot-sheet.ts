import { bottleOf } from '../../../core/formula/bottle.ts';
import { UNDECLARED } from '../../../core/formula/defaults.ts';
import { dropOf } from '../../../core/formula/drop-mass.ts';
import { monthsOf, plusMonths } from '../../../core/formula/shelf-life.ts';
import { expiryOf, lowOf, wantsOf } from '../../../core/formula/supply.ts';
import type { Lot, Material } from '../../../core/formula/types.ts';
import { decimal, plain } from '../../../core/quantity/decimal.ts';
import { namedBy, strengthText } from '../organ.ts';
import type { BatchTaking, StockEntry } from '../store/stock.ts';
import type { Store } from '../store/store.ts';
import type { Workshop } from '../store/workshop.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { percentTyped } from './fields.ts';

type Form = Input<'organ.put-lot'>['form'];
type Sheet = Output<'organ.lot'>;

/** Why the composition of a lot can no longer be changed; null while it can. */
export function fixedBy({ stock }: Store, { code, madeBy }: Pick<Lot, 'code' | 'madeBy'>): string | null {
  if (madeBy !== undefined)
    return 'It holds what its record says was poured. Another composition is another lot.';
  const batches = new Set(stock.takings(code).map((one) => one.batch)).size;
  if (batches === 0) return null;
  return `${batches === 1 ? 'A batch was' : `${batches} batches were`} poured from it, and the records refer to what it held. If it holds something else, make a new lot.`;
}

const byMass = (lot: Lot): [string, string][] =>
  Object.entries(lot.composition).sort(([, a], [, b]) => decimal(b).cmp(a));

/** How the form tells what a lot holds. */
function contentsOf(lot: Lot, materials: ReadonlyMap<string, Material>): Form['contents'] {
  const parts = byMass(lot);
  const neat = parts.filter(([key]) => materials.get(key)?.kind !== 'solvent');
  const [main] = neat.length === 0 ? parts : neat;
  const [material, fraction] = main ?? ['', '1'];
  const others = parts.filter(([key]) => key !== material);
  const [other] = others;
  const u = percentTyped(lot.uncertainty?.[material]);
  const common = { material, percent: percentTyped(fraction), u, solvent: '', parts: [] };
  if (other === undefined) return { ...common, kind: 'neat', percent: '' };
  if (others.length === 1 && neat.length === 1)
    return other[0] === UNDECLARED
      ? { ...common, kind: 'purity' }
      : { ...common, kind: 'dilution', solvent: `material:${other[0]}` };
  return {
    ...{ kind: 'composition', material: '', percent: '', u: '', solvent: '' },
    parts: parts.map(([key, share]) => ({
      material: key,
      percent: percentTyped(share),
      u: percentTyped(lot.uncertainty?.[key]),
    })),
  };
}

function formOf(lot: Lot, materials: ReadonlyMap<string, Material>): Form {
  return {
    code: lot.code,
    name: lot.name,
    contents: contentsOf(lot, materials),
    bottle: lot.bottle ?? '',
    glass: lot.glass ?? '',
    empty: lot.empty ?? '',
    supplierLot: lot.supplierLot ?? '',
    received: lot.received ?? '',
    opened: lot.opened ?? '',
    bestBefore: lot.bestBefore ?? '',
    price: lot.price ?? '',
    place: lot.place ?? '',
  };
}

const SAID: Readonly<Record<StockEntry['kind'], string>> = {
  stated: 'stated',
  weighed: 'bottle weighed',
  received: 'received',
  corrected: 'corrected',
};

/** What an entry says beside its mass: how it was got, how far from what was expected, who and why. */
function entryText({ kind, g, gross, empty, expected, who, why }: StockEntry): string {
  const off = expected === null ? null : decimal(g).minus(expected);
  const found =
    off === null || kind === 'received'
      ? ''
      : off.isZero()
        ? ', as expected'
        : `, ${plain(off.abs())} g ${off.lt(0) ? 'less' : 'more'} than expected (${expected} g)`;
  const scale = gross === undefined ? '' : `: ${gross} g with the bottle of ${empty} g`;
  return [
    `${SAID[kind]}${scale}${found}`,
    ...(why === '' ? [] : [why]),
    ...(who === '' ? [] : [`by ${who}`]),
  ].join(' · ');
}

function takingText({ name, status, pours }: BatchTaking): string {
  const state = status === 'closed' ? '' : status === 'open' ? ', not ended' : ', abandoned';
  return `poured into ${name}${state}${pours > 1 ? `, in ${pours} pours` : ''}`;
}

/** Entries and pours, the latest first. */
function historyOf({ stock }: Store, code: string): Sheet['history'] {
  const entries = stock.entries(code).map((entry) => ({
    ...{ at: entry.at, what: entry.kind, g: entry.g, text: entryText(entry), batch: null },
  }));
  const pours = stock.takings(code).map((taking) => ({
    ...{ at: taking.at, what: 'poured' as const, g: taking.g, text: takingText(taking), batch: taking.batch },
  }));
  return [...entries, ...pours].sort((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : 0));
}

/** What is wrong with the bottle or soon will be. */
function heedOf(store: Store, { lots, formulas }: Workshop, lot: Lot, today: string): string[] {
  if (lot.finished !== undefined) return [];
  const want = wantsOf(formulas, new Map(lots.map((one) => [one.code, one]))).get(lot.code);
  const low = lowOf(lot, store.stock.most().get(lot.code), want);
  const expiry = expiryOf(lot, today);
  return [
    ...(low === null ? [] : [`Running out: ${low}.`]),
    ...(expiry === null ? [] : [`${expiry.text.charAt(0).toUpperCase()}${expiry.text.slice(1)}.`]),
    ...(lot.glass === 'clear'
      ? ['Clear glass: keep it in the dark, or its content ages sooner (common practice, no source).']
      : []),
  ];
}

function proposedDate(lot: Lot, material: Material | undefined): Sheet['proposedBestBefore'] {
  const months = material?.shelfLife === undefined ? null : monthsOf(material.shelfLife);
  if (lot.opened === undefined || months === null || material === undefined) return null;
  const date = plusMonths(lot.opened, months);
  if (date === lot.bestBefore) return null;
  return { date, why: `opened ${lot.opened}; ${material.name} keeps ${months} months once opened` };
}

function madeByOf({ catalog }: Store, { madeBy }: Lot): Sheet['madeBy'] {
  if (madeBy === undefined) return null;
  return { batch: madeBy, name: catalog.row(madeBy)?.name ?? madeBy };
}

/** What is known of the drops of a lot: as the bench learnt them, else a typical mass. */
function dropText(store: Store, lot: Lot, materials: ReadonlyMap<string, Material>): string {
  const learnt = store.workshop.setting(`drop of ${lot.code}`);
  const typical = lot.drop ?? dropOf(bottleOf(lot, materials));
  if (learnt === null)
    return `${typical} g, ${lot.drop === undefined ? 'a typical value' : 'as told'}; not yet learnt`;
  const { mean, u } = JSON.parse(learnt) as { mean: number; u: number };
  return `${mean.toFixed(4)} g, learnt at the bench (standard uncertainty ${u.toFixed(4)} g)`;
}

/** A lot with all that is known of it. @throws HostTrouble when there is none with this code */
export function lotSheet(store: Store, code: string, today: string): Sheet {
  const workshop = store.workshop.read();
  const materials = new Map(workshop.materials.map((one) => [one.key, one]));
  const lot = workshop.lots.find((one) => one.code === code);
  if (lot === undefined)
    throw new HostTrouble(`There is no lot "${code}".`, 'Organ', 'Choose one from the shelves.');
  return {
    code,
    form: formOf(lot, materials),
    strength: strengthText(lot, materials),
    parts: byMass(lot).map(([key, fraction]) => ({
      ...{ key, name: materials.get(key)?.name ?? key },
      percent: `${percentTyped(fraction)} %`,
      u: lot.uncertainty?.[key] === undefined ? null : `${percentTyped(lot.uncertainty[key])} %`,
    })),
    fixed: fixedBy(store, lot),
    stock: store.stock.of(code),
    heed: heedOf(store, workshop, lot, today),
    finished: lot.finished ?? null,
    madeBy: madeByOf(store, lot),
    drop: dropText(store, lot, materials),
    proposedBestBefore: proposedDate(lot, materials.get(namedBy(lot, materials) ?? '')),
    history: historyOf(store, code),
    dilutes: lot.finished === undefined && bottleOf(lot, materials).strength.gt(0),
  };
}
