import { durationOf, monthsOf } from '../../../core/formula/shelf-life.ts';
import type { Material } from '../../../core/formula/types.ts';
import { decimal, plain } from '../../../core/quantity/decimal.ts';
import { strengthText } from '../organ.ts';
import type { Store } from '../store/store.ts';
import type { Workshop } from '../store/workshop.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { ascii, Fields, partsOf, percentTyped, told } from './fields.ts';

type Form = Input<'organ.put-material'>['form'];
type Saved = Output<'organ.put-material'>;

const NO_CONSTITUENTS: NonNullable<Material['constituents']> = [];

/** A key that no material has: its name in plain letters. Once given it stays, whatever the name becomes. */
function freeKey(name: string, taken: ReadonlySet<string>): string {
  const stem = ascii(name).toLowerCase().replaceAll(' ', '-') || 'material';
  let key = stem;
  for (let n = 2; taken.has(key); n += 1) key = `${stem}-${n}`;
  return key;
}

function formOf(material: Material): Form {
  const { note, solid, limit, shelfLife, constituents = NO_CONSTITUENTS } = material;
  return {
    name: material.name,
    otherNames: (material.otherNames ?? []).join(', '),
    note: note ?? '',
    family: material.family,
    kind: material.kind,
    solid: solid === true,
    cas: material.cas ?? '',
    density: material.density ?? '',
    shelfLife: shelfLife === undefined ? '' : String(monthsOf(shelfLife) ?? ''),
    cautions: (material.cautions ?? []).join('\n'),
    limitPercent: percentTyped(limit?.fraction),
    limitDocument: limit?.document ?? '',
    limitDate: limit?.date ?? '',
    constituents: constituents.map(({ name, cas, fraction }) => ({
      name,
      cas: cas ?? '',
      percent: percentTyped(fraction),
    })),
  };
}

/** The supplier's limit as typed: all of it or nothing. */
function limitOf(form: Form, fields: Fields): Material['limit'] {
  const fraction = fields.share('limitPercent', form.limitPercent);
  const document = fields.text(form.limitDocument);
  const date = fields.day('limitDate', form.limitDate);
  if (fraction === undefined && document === undefined && date === undefined) return undefined;
  if (fraction === undefined && fields.text(form.limitPercent) === undefined)
    fields.wrong(
      'limitPercent',
      'The limit itself is missing.',
      'Type it in per cent of the finished product.',
    );
  if (document === undefined)
    fields.wrong(
      'limitDocument',
      'A limit without its document cannot be checked.',
      'Name the document it stands in.',
    );
  if (date === undefined && fields.text(form.limitDate) === undefined)
    fields.wrong('limitDate', 'A limit without a date cannot be checked.', 'Give the date of the document.');
  if (fraction === undefined || document === undefined || date === undefined) return undefined;
  return { fraction: plain(fraction), document, date };
}

function constituentsOf(form: Form, fields: Fields): Material['constituents'] {
  const rows = form.constituents.filter((row) => `${row.name}${row.cas}${row.percent}`.trim() !== '');
  const found = rows.flatMap((row, at) => {
    const field = (part: string): string => `constituents.${at}.${part}`;
    const name = fields.needed(field('name'), row.name, 'Name the constituent.');
    const cas = fields.cas(field('cas'), row.cas);
    const fraction = fields.share(field('percent'), row.percent);
    if (fraction === undefined && fields.text(row.percent) === undefined)
      fields.wrong(field('percent'), 'Its share is missing.', 'Type per cent of the neat material.');
    return name === undefined || fraction === undefined
      ? []
      : [{ name, fraction: plain(fraction), ...(cas === undefined ? {} : { cas }) }];
  });
  const sum = found.reduce((total, { fraction }) => total.plus(fraction), decimal('0'));
  if (sum.gt(1))
    fields.wrong(
      'constituents',
      `They add up to ${plain(sum.times(100))} %.`,
      'Together they are at most 100 %.',
    );
  return found.length === 0 ? undefined : found;
}

/** The shelf life as typed in months, kept as an ISO 8601 duration. */
function shelfLifeOf(form: Form, before: Material | undefined, fields: Fields): string | undefined {
  const text = fields.text(form.shelfLife.replace(/\s*months?\s*$/, ''));
  if (text === undefined)
    // What is no number of months stands in no field, and stays.
    return before?.shelfLife !== undefined && monthsOf(before.shelfLife) === null
      ? before.shelfLife
      : undefined;
  if (/^\d{1,3}$/.test(text) && Number(text) > 0) return durationOf(Number(text));
  return fields.wrong('shelfLife', `"${text}" is no number of months.`, 'Type whole months, as in 24.');
}

function materialOf(key: string, form: Form, before: Material | undefined, fields: Fields): Material {
  const name = fields.needed('name', form.name, 'Name the material as you call it.') ?? '';
  const family = fields.needed('family', form.family, 'Choose a family, or type one of your own.') ?? '';
  const solid = form.solid ? true : undefined;
  const otherNames = partsOf(form.otherNames, /[,;\n]/);
  const cautions = partsOf(form.cautions, /\n/);
  return {
    key,
    name,
    note: form.note === '' ? null : form.note,
    family: family.toLowerCase(),
    kind: form.kind,
    ...told({
      solid,
      otherNames: otherNames.length === 0 ? undefined : otherNames,
      cas: fields.cas('cas', form.cas),
      shelfLife: shelfLifeOf(form, before, fields),
      density: fields.positive('density', form.density, 'g/mL', 'above zero'),
      limit: limitOf(form, fields),
      constituents: constituentsOf(form, fields),
    }),
    cautions,
  } as Material;
}

const plainName = (name: string): string => name.trim().toLocaleLowerCase('en');

/** Writes a material, or says what is wrong with it. @throws HostTrouble when there is none with this key */
export function putMaterial(store: Store, { key, form }: Input<'organ.put-material'>): Saved {
  const { materials } = store.workshop.read();
  const before = materials.find((one) => one.key === key);
  if (key !== null && before === undefined) throw noMaterial(key);
  const fields = new Fields();
  const taken = new Set(materials.map((one) => one.key));
  const material = materialOf(key ?? freeKey(form.name, taken), form, before, fields);
  const same = materials.find((one) => one.key !== key && plainName(one.name) === plainName(material.name));
  if (same !== undefined)
    fields.wrong('name', `${same.name} is there already.`, 'Open it, or tell this one apart by its name.');
  if (fields.problems.length > 0) return { problems: fields.problems, saved: null };
  store.workshop.putMaterial(material);
  return { problems: [], saved: material.key };
}

const noMaterial = (key: string): HostTrouble =>
  new HostTrouble(`There is no material "${key}".`, 'Organ', 'Choose one from the shelves.');

/** A material with its lots. @throws HostTrouble when there is none with this key */
export function materialSheet({ materials, lots }: Workshop, key: string): Output<'organ.material'> {
  const material = materials.find((one) => one.key === key);
  if (material === undefined) throw noMaterial(key);
  const byKey = new Map(materials.map((one) => [one.key, one]));
  return {
    key,
    form: formOf(material),
    lots: lots
      .filter((lot) => Number(lot.composition[key] ?? '0') > 0)
      .map((lot) => ({
        code: lot.code,
        name: lot.name,
        strength: strengthText(lot, byKey),
        stock: lot.stock ?? null,
        finished: lot.finished !== undefined,
      })),
  };
}
