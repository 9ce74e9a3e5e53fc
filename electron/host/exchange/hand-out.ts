import { Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import { FormulasFile, OrganFile } from '../../../core/record/workshop-file.ts';
import packageJson from '../../../package.json' with { type: 'json' };
import { type CsvCell, csv, type DecimalSign, figure, percentFigure } from '../documents/csv.ts';
import type { Document } from '../documents/document.ts';
import type { Store } from '../store/store.ts';
import type { Input } from '../table.ts';
import { formulasFile, organFile, packArchive } from './archive.ts';

type Ask = Input<'hand-out.document'>;

/** The material that a bottle is of, its strength and what it is diluted in. */
function contentOf(
  composition: Readonly<Record<string, string>>,
  kinds: ReadonlyMap<string, 'neat' | 'solvent'>,
): { readonly key: string; readonly strength: string; readonly solvents: readonly string[] } {
  const parts = Object.entries(composition).sort(([, a], [, b]) => decimal(b).cmp(decimal(a)));
  const [key, strength] = parts.find(([one]) => kinds.get(one) === 'neat') ?? parts[0] ?? ['', '0'];
  return { key, strength, solvents: parts.flatMap(([one]) => (one === key ? [] : [one])) };
}

/** Materials and bottles as a table: one row a bottle, and one for a material without. */
function organCsv(store: Store, sign: DecimalSign): string {
  const { materials, lots } = store.workshop.read();
  const names = new Map(materials.map((one) => [one.key, one.name]));
  const kinds = new Map(materials.map((one) => [one.key, one.kind]));
  const bottles = Map.groupBy(lots, (lot) => contentOf(lot.composition, kinds).key);
  const heading = [
    'Name',
    'Code',
    'CAS',
    'Note',
    'Family',
    'Kind',
    'Solid',
    'Density (g/mL)',
    'Strength (%)',
    'Solvent',
    'Stock (g)',
    'Price per g',
    'Best before',
    'Received',
    'Opened',
    'Supplier lot',
    'Place',
    'Other names',
  ];
  const rows = materials.flatMap((one): CsvCell[][] => {
    const of = [
      one.cas ?? '',
      one.note ?? '',
      one.family,
      one.kind,
      one.solid ? 'yes' : '',
      figure(one.density ?? null),
    ];
    const others = (one.otherNames ?? []).join('; ');
    const own = bottles.get(one.key) ?? [];
    if (own.length === 0) return [[one.name, '', ...of, ...Array<string>(9).fill(''), others]];
    return own.map((lot) => {
      const { strength, solvents } = contentOf(lot.composition, kinds);
      const mixed = one.kind === 'solvent' && solvents.length > 0;
      const liquid =
        solvents.includes('ethanol') && solvents.includes('water')
          ? 'Ethanol 96 % vol'
          : solvents.map((key) => names.get(key) ?? key).join(' and ');
      return [
        mixed ? lot.name : one.name,
        lot.code,
        ...of,
        mixed ? '' : percentFigure(strength),
        mixed ? '' : liquid,
        figure(lot.stock ?? null),
        figure(lot.price ?? null),
        lot.bestBefore ?? '',
        lot.received ?? '',
        lot.opened ?? '',
        lot.supplierLot ?? '',
        lot.place ?? '',
        others,
      ];
    });
  });
  return csv([heading, ...rows], sign);
}

/** Lines of formulas as they are written, the newest version of each. */
function formulasCsv(store: Store, ids: readonly string[] | undefined, sign: DecimalSign): string {
  const { materials, formulas } = store.workshop.read();
  const names = new Map([
    ...materials.map((one) => [one.key, one.name] as const),
    ...formulas.map((one) => [one.id, one.name] as const),
  ]);
  const heading = [
    'Formula',
    'Version',
    'Batch (g)',
    'Material',
    'Amount',
    'Unit',
    'Dilution (%)',
    'Solvent',
    'Lot',
  ];
  const rows = formulas.flatMap(({ id }): CsvCell[][] => {
    if (ids !== undefined && !ids.includes(id)) return [];
    const head = store.versions.head(id);
    if (head === null) return [];
    return head.written.lines.map(({ of, amount, dilution, qs, lot }) => [
      head.written.name,
      figure(String(head.n)),
      figure(head.written.batch),
      'material' in of
        ? (names.get(of.material) ?? of.material)
        : `${names.get(of.formula) ?? of.formula}, version ${of.version}`,
      qs === true ? 'q.s.' : figure(amount?.figure ?? null),
      amount === undefined ? '' : amount.unit === 'percent' ? '%' : amount.unit === 'grams' ? 'g' : 'parts',
      dilution === undefined ? '' : figure(plain(new Decimal(dilution.strength).times(100))),
      dilution === undefined ? '' : (names.get(dilution.solvent) ?? dilution.solvent),
      lot ?? '',
    ]);
  });
  return csv([heading, ...rows], sign);
}

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/**
 * What is handed out of the workshop, as a file. JSON is checked against its schema on the way out.
 * @param at now, RFC 3339
 */
export function handedOut(
  store: Store,
  { what, format, decimal: sign = 'point', formulas: ids }: Ask,
  at: string,
): Document {
  const day = at.slice(0, 10);
  const made = (name: string, ending: string, type: string, content: string | Uint8Array): Document => ({
    name: `${name}-${day}.${ending}`,
    type,
    bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content,
  });
  if (what === 'workshop')
    return made('workshop', 'zip', 'application/zip', packArchive(store, at, packageJson.version));
  const CSV = 'text/csv;charset=utf-8';
  if (what === 'organ')
    return format === 'csv'
      ? made('organ', 'csv', CSV, organCsv(store, sign))
      : made('organ', 'json', 'application/json', json(OrganFile.parse(organFile(store))));
  if (format === 'csv') return made('formulas', 'csv', CSV, formulasCsv(store, ids, sign));
  const file = formulasFile(store);
  const chosen = { ...file, formulas: file.formulas.filter(({ id }) => ids?.includes(id) ?? true) };
  return made('formulas', 'json', 'application/json', json(FormulasFile.parse(chosen)));
}
