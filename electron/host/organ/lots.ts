import { type Contents, composed } from '../../../core/formula/contents.ts';
import { defaultMaterial, UNDECLARED } from '../../../core/formula/defaults.ts';
import type { Lot, Material } from '../../../core/formula/types.ts';
import { decimal } from '../../../core/quantity/decimal.ts';
import type { Rooms } from '../rooms.ts';
import type { Workshop } from '../store/workshop.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { ascii, Fields, told } from './fields.ts';
import { fixedBy } from './lot-sheet.ts';

type Form = Input<'organ.put-lot'>['form'];
type ContentsForm = Form['contents'];

/** The shelf a form speaks of. */
interface Shelf {
  readonly lots: ReadonlyMap<string, Lot>;
  readonly materials: ReadonlyMap<string, Material>;
}

const shelfOf = ({ lots, materials }: Workshop): Shelf => ({
  lots: new Map(lots.map((lot) => [lot.code, lot])),
  materials: new Map(materials.map((one) => [one.key, one])),
});

function materialIn(field: string, key: string, fields: Fields, { materials }: Shelf): string | undefined {
  if (materials.has(key)) return key;
  return fields.wrong(
    field,
    'No material is chosen.',
    'Choose one; a new one is made on its own sheet first.',
  );
}

function solventIn(chosen: string, fields: Fields, shelf: Shelf): Lot['composition'] | undefined {
  if (chosen.startsWith('material:')) {
    const key = chosen.slice('material:'.length);
    if (shelf.materials.has(key)) return { [key]: '1' };
  }
  const lot = chosen.startsWith('lot:') ? shelf.lots.get(chosen.slice('lot:'.length)) : undefined;
  return (
    lot?.composition ?? fields.wrong('solvent', 'No solvent is chosen.', 'Choose what it is diluted with.')
  );
}

function partsIn(form: ContentsForm, fields: Fields, shelf: Shelf): Contents | undefined {
  const rows = form.parts.filter((part) => part.material !== '' || part.percent.trim() !== '');
  if (rows.length === 0)
    return fields.wrong('parts', 'Nothing is in it.', 'Add each material with its share.');
  const parts = rows.flatMap((row, at) => {
    const material = materialIn(`parts.${at}.material`, row.material, fields, shelf);
    const fraction = fields.share(`parts.${at}.percent`, row.percent);
    if (fraction === undefined && row.percent.trim() === '')
      fields.wrong(`parts.${at}.percent`, 'Its share is missing.', 'Type per cent by mass.');
    const u = fields.uncertainty(`parts.${at}.u`, row.u);
    return material === undefined || fraction === undefined || u === undefined
      ? []
      : [{ material, fraction, u }];
  });
  return parts.length < rows.length ? undefined : { kind: 'composition', parts };
}

/** What the form says that the lot holds; undefined where something of it is wrong. */
function contentsIn(form: ContentsForm, fields: Fields, shelf: Shelf): Contents | undefined {
  if (form.kind === 'composition') return partsIn(form, fields, shelf);
  const material = materialIn('material', form.material, fields, shelf);
  if (form.kind === 'neat') return material === undefined ? undefined : { kind: 'neat', material };
  const fraction = fields.share('percent', form.percent);
  if (fraction === undefined && form.percent.trim() === '')
    fields.wrong('percent', 'The strength is missing.', 'Type per cent by mass, as on the label.');
  const u = fields.uncertainty('u', form.u);
  const solvent = form.kind === 'dilution' ? solventIn(form.solvent, fields, shelf) : {};
  if (material === undefined || fraction === undefined || u === undefined || solvent === undefined)
    return undefined;
  return form.kind === 'purity'
    ? { kind: 'purity', material, fraction, u }
    : { kind: 'dilution', material, fraction, u, solvent };
}

function compositionIn(
  form: ContentsForm,
  fields: Fields,
  shelf: Shelf,
): Pick<Lot, 'composition' | 'uncertainty'> | undefined {
  const contents = contentsIn(form, fields, shelf);
  if (contents === undefined) return undefined;
  try {
    return composed(contents);
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    return fields.wrong('parts', `It cannot be: ${cause.message}.`, 'Correct the shares.');
  }
}

/** The rest that nobody declared stands among the materials once a lot has it. */
const restOf = ({ composition }: Pick<Lot, 'composition'>): Material[] =>
  Object.hasOwn(composition, UNDECLARED) ? [defaultMaterial(UNDECLARED)] : [];

/** Two codes that a scanner under caps lock could not tell apart are one. */
const sameCode = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

function codeIn(form: Form, fields: Fields, { lots }: Shelf): string {
  const code = fields.needed('code', form.code, 'Give the bottle a code, or take the one proposed.') ?? '';
  if (code.length > 24) fields.wrong('code', 'This code is too long.', 'At most 24 characters fit a label.');
  const there = [...lots.keys()].find((one) => sameCode(one, code));
  if (there !== undefined)
    fields.wrong('code', `A bottle has the code ${there} already.`, 'Give another code.');
  return code;
}

/** Dates that follow one another. */
function datesIn(form: Form, fields: Fields): Pick<Lot, 'received' | 'opened' | 'bestBefore'> {
  const received = fields.day('received', form.received);
  const opened = fields.day('opened', form.opened);
  const bestBefore = fields.day('bestBefore', form.bestBefore);
  if (received !== undefined && opened !== undefined && opened < received)
    fields.wrong('opened', 'It was opened before it came in.', 'Correct one of the dates.');
  return told({ received, opened, bestBefore });
}

/** What of a lot is free to change, whatever was poured from it. */
function factsIn(form: Form, fields: Fields): Omit<Lot, 'code' | 'composition'> {
  return {
    name: fields.needed('name', form.name, 'Name it as its label does.') ?? '',
    ...datesIn(form, fields),
    ...told({
      bottle: fields.text(form.bottle),
      glass: form.glass === '' ? undefined : form.glass,
      empty: fields.positive('empty', form.empty, 'g', 'above zero'),
      supplierLot: fields.text(form.supplierLot),
      price: fields.positive('price', form.price, '', 'zero'),
      place: fields.text(form.place),
    }),
  };
}

/** A lot as it is kept: what no form shows stays. */
function rewritten(before: Lot, facts: Omit<Lot, 'code' | 'composition'>): Lot {
  const { code, composition, uncertainty, drop, madeBy, finished } = before;
  return { code, composition, ...told({ uncertainty, drop, madeBy, finished }), ...facts };
}

export const noLot = (code: string): HostTrouble =>
  new HostTrouble(`There is no lot "${code}".`, 'Organ', 'Choose one from the shelves.');

function change({ store }: Rooms, code: string, form: Form): Output<'organ.put-lot'> {
  const workshop = store.workshop.read();
  const before = workshop.lots.find((lot) => lot.code === code);
  if (before === undefined) throw noLot(code);
  const fields = new Fields();
  const facts = factsIn(form, fields);
  const locked = fixedBy(store, before) !== null;
  const composition = locked ? null : compositionIn(form.contents, fields, shelfOf(workshop));
  if (fields.problems.length > 0 || composition === undefined)
    return { problems: fields.problems, saved: null };
  const kept = rewritten(before, facts);
  if (composition === null) store.workshop.putLot(kept);
  else {
    const { uncertainty: _, ...rest } = kept;
    store.workshop.add({ materials: restOf(composition), lots: [], formulas: [] });
    store.workshop.putLot({ ...rest, ...composition });
  }
  return { problems: [], saved: code };
}

function create({ store }: Rooms, form: Form, stock: string): Output<'organ.put-lot'> {
  const shelf = shelfOf(store.workshop.read());
  const fields = new Fields();
  const code = codeIn(form, fields, shelf);
  const facts = factsIn(form, fields);
  const composition = compositionIn(form.contents, fields, shelf);
  const g = fields.positive('stock', stock, 'g', 'zero');
  if (fields.problems.length > 0 || composition === undefined)
    return { problems: fields.problems, saved: null };
  const lot: Lot = { code, ...facts, ...composition, ...told({ stock: g }) };
  store.workshop.add({ materials: restOf(composition), lots: [lot], formulas: [] });
  return { problems: [], saved: code };
}

/** Writes a lot, or says what is wrong with it. @throws HostTrouble when there is none with this code */
export const putLot = (
  rooms: Rooms,
  { code, form, stock }: Input<'organ.put-lot'>,
): Output<'organ.put-lot'> => (code === null ? create(rooms, form, stock ?? '') : change(rooms, code, form));

/** A code that no bottle has: two letters of the material and the next number of them, as in "VE-07". */
export function freeCode({ lots, materials }: Workshop, key: string): string {
  const name = materials.find((one) => one.key === key)?.name ?? key;
  const stem = ascii(name).replaceAll(' ', '').slice(0, 2).toUpperCase() || 'LOT';
  const numbers = lots.flatMap(({ code }) => {
    const [first = '', number = ''] = code.split('-');
    return first.toUpperCase() === stem && /^\d{1,6}$/.test(number) ? [Number(number)] : [];
  });
  return `${stem}-${String(Math.max(0, ...numbers) + 1).padStart(2, '0')}`;
}

/** A lot is used up, or is there after all. @throws HostTrouble when there is none with this code */
export function finish({ store }: Rooms, code: string, finished: boolean, today: string): void {
  const before = store.workshop.read().lots.find((lot) => lot.code === code);
  if (before === undefined) throw noLot(code);
  const { finished: _, ...lot } = before;
  store.workshop.putLot(finished ? { ...lot, finished: today } : lot);
}

/** Says what a bottle holds, by mouth or by weighing it. @throws HostTrouble when there is none with this code */
export function sayStock(
  { store }: Rooms,
  { code, kind, g, gross, empty, who, why }: Input<'organ.stock'>,
  now: string,
): Output<'organ.stock'> {
  const lot = store.workshop.read().lots.find((one) => one.code === code);
  if (lot === undefined) throw noLot(code);
  const fields = new Fields();
  const weighed = kind === 'weighed';
  const full = weighed ? fields.positive('gross', gross ?? '', 'g', 'zero') : undefined;
  const bare = weighed ? fields.positive('empty', empty ?? '', 'g', 'above zero') : undefined;
  if (weighed && full === undefined && fields.problems.every(({ field }) => field !== 'gross'))
    fields.wrong('gross', 'The bottle was not weighed.', 'Put it on the balance, or type what it weighs.');
  if (weighed && bare === undefined && fields.problems.every(({ field }) => field !== 'empty'))
    fields.wrong('empty', 'What the empty bottle weighs is not known.', 'Weigh one like it, with its cap.');
  const held = weighed ? undefined : fields.positive('g', g ?? '', 'g', 'zero');
  if (!weighed && held === undefined && fields.problems.length === 0)
    fields.wrong('g', 'How much it holds is missing.', 'Type grams.');
  if (full !== undefined && bare !== undefined && decimal(full).lt(bare))
    fields.wrong('gross', `${full} g is less than the empty bottle.`, 'Weigh it again: with the same cap.');
  if (fields.problems.length > 0) return { problems: fields.problems, saved: null };
  const content = held ?? difference(full ?? '0', bare ?? '0');
  const beside = { who: who.trim(), why: fields.text(why) ?? '', ...told({ gross: full, empty: bare }) };
  store.stock.append({ lot: code, kind, g: content, ...beside }, now);
  if (bare !== undefined && lot.empty !== bare) store.workshop.putLot({ ...lot, empty: bare });
  return { problems: [], saved: code };
}

/** The difference of two masses, with the digits of both. */
function difference(gross: string, empty: string): string {
  const mass = decimal(gross).minus(empty);
  const digits = (text: string): number => text.split('.')[1]?.length ?? 0;
  return mass.toFixed(Math.max(digits(gross), digits(empty)));
}
