import type { Material } from '../formula/types.ts';
import { Decimal, decimal, plain } from '../quantity/decimal.ts';

/** How the finished product is used: it stays on the skin, or it is washed off. */
export type ProductUse = 'leave-on' | 'rinse-off';

/** The published table of constituents to be labelled, as fixtures/references/allergens.json holds it. */
export interface LabellingTable {
  readonly rule: string;
  /** Mass fraction in per cent above which a constituent is named. */
  readonly threshold_pct: { readonly leave_on: number; readonly rinse_off: number };
  readonly original_26: readonly {
    readonly name: string;
    readonly cas: string;
    readonly extra_limit: string | null;
  }[];
  /** Constituents added later; their names come from a secondary source. */
  readonly regulation_2023_1545: { readonly names_as_listed_by_secondary_source: readonly string[] };
}

/** Said with every declaration. */
export const NO_ASSESSMENT = 'Check against the current text of the rule; this is not a safety assessment.';

/** `text`: in the table with its number; `secondary`: known by name from a secondary source only; `none`: in neither. */
export type Listing = 'text' | 'secondary' | 'none';

export interface DeclaredConstituent {
  readonly name: string;
  readonly cas: string | null;
  /** Mass fraction in the finished product. */
  readonly fraction: Decimal;
  readonly listing: Listing;
  /** Over the threshold, and listed: to be named on the label. */
  readonly declare: boolean;
  /** A limit or prohibition that the table notes beside it. */
  readonly remark: string | null;
  /** What brings it in, the largest first; mass fractions in the finished product. */
  readonly from: readonly { readonly material: string; readonly fraction: Decimal }[];
}

export interface SupplierLimit {
  readonly material: string;
  readonly name: string;
  /** Mass fraction in the finished product, and the supplier's limit for it. */
  readonly fraction: Decimal;
  readonly limit: Decimal;
  readonly document: string;
  readonly date: string;
  readonly exceeded: boolean;
  /** The highest dose of this batch that keeps the limit, 0 to 1. */
  readonly highestDose: Decimal;
}

export interface Declaration {
  readonly use: ProductUse;
  readonly dose: Decimal;
  /** Mass fraction above which a listed constituent is named. */
  readonly threshold: Decimal;
  /** The largest fraction first. */
  readonly constituents: readonly DeclaredConstituent[];
  readonly limits: readonly SupplierLimit[];
  /** The highest dose that keeps every supplier limit; null where no limit is entered. */
  readonly highestDose: Decimal | null;
  /** Neat materials in the batch of which no constituents are entered: nothing is known of what they bring. */
  readonly unknown: readonly string[];
  readonly note: string;
}

export interface DeclarationInput {
  /** Mass fractions in the batch. */
  readonly composition: readonly { readonly material: string; readonly fraction: Decimal }[];
  readonly materials: readonly Material[];
  /** Mass fraction of the batch in the finished product: above 0, at most 1; 1 when the batch is the product. */
  readonly dose: Decimal;
  readonly use: ProductUse;
  readonly table: LabellingTable;
}

const one = new Decimal(1);
const zero = new Decimal(0);

/** Names are told apart by their letters and digits alone. */
const nameKey = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]+/g, '');

interface Tables {
  readonly byCas: ReadonlyMap<
    string,
    { readonly name: string; readonly cas: string; readonly extra_limit: string | null }
  >;
  readonly byName: ReadonlyMap<
    string,
    { readonly name: string; readonly cas: string; readonly extra_limit: string | null }
  >;
  readonly secondary: ReadonlySet<string>;
}

function tablesOf(table: LabellingTable): Tables {
  return {
    byCas: new Map(table.original_26.map((entry) => [entry.cas, entry])),
    byName: new Map(table.original_26.map((entry) => [nameKey(entry.name), entry])),
    secondary: new Set(table.regulation_2023_1545.names_as_listed_by_secondary_source.map(nameKey)),
  };
}

interface Bringing {
  readonly name: string;
  readonly cas: string | null;
  readonly from: { readonly material: string; readonly fraction: Decimal }[];
}

/** What a material brings of named constituents: as entered, and itself where it is in the table. */
function broughtBy(material: Material, tables: Tables): { name: string; cas?: string; fraction: Decimal }[] {
  const entered = (material.constituents ?? []).map((part) => ({
    ...part,
    fraction: decimal(part.fraction),
  }));
  const listed =
    (material.cas !== undefined && tables.byCas.has(material.cas)) ||
    tables.byName.has(nameKey(material.name)) ||
    tables.secondary.has(nameKey(material.name));
  if (!listed || material.kind === 'solvent') return entered;
  const known = entered.some((part) => idOf(part, tables) === idOf(material, tables));
  const { name, cas } = material;
  return known ? entered : [...entered, { name, ...(cas === undefined ? {} : { cas }), fraction: one }];
}

/** One constituent under several spellings is one: by its number, else by its name in the table, else by its name. */
function idOf(part: { readonly name: string; readonly cas?: string }, tables: Tables): string {
  return part.cas ?? tables.byName.get(nameKey(part.name))?.cas ?? nameKey(part.name);
}

function gathered(input: DeclarationInput, tables: Tables): Map<string, Bringing> {
  const materials = new Map(input.materials.map((material) => [material.key, material]));
  const found = new Map<string, Bringing>();
  for (const { material: key, fraction } of input.composition) {
    const material = materials.get(key);
    if (material === undefined || !fraction.gt(0)) continue;
    for (const part of broughtBy(material, tables)) {
      const id = idOf(part, tables);
      const bringing = found.get(id) ?? { name: part.name, cas: part.cas ?? null, from: [] };
      bringing.from.push({
        material: material.name,
        fraction: fraction.times(part.fraction).times(input.dose),
      });
      found.set(id, bringing);
    }
  }
  return found;
}

function declared(bringing: Bringing, tables: Tables, threshold: Decimal): DeclaredConstituent {
  const entry =
    (bringing.cas === null ? undefined : tables.byCas.get(bringing.cas)) ??
    tables.byName.get(nameKey(bringing.name));
  const listing: Listing =
    entry !== undefined ? 'text' : tables.secondary.has(nameKey(bringing.name)) ? 'secondary' : 'none';
  const fraction = bringing.from.reduce((sum, part) => sum.plus(part.fraction), zero);
  return {
    name: entry?.name ?? bringing.name,
    cas: bringing.cas ?? entry?.cas ?? null,
    fraction,
    listing,
    declare: listing !== 'none' && fraction.gt(threshold),
    remark: entry?.extra_limit ?? null,
    from: [...bringing.from].sort((a, b) => b.fraction.comparedTo(a.fraction)),
  };
}

function supplierLimits({ composition, materials, dose }: DeclarationInput): SupplierLimit[] {
  const fractions = new Map(composition.map(({ material, fraction }) => [material, fraction]));
  return materials.flatMap(({ key, name, limit }) => {
    const inBatch = fractions.get(key) ?? zero;
    if (limit === undefined || !inBatch.gt(0)) return [];
    const most = decimal(limit.fraction);
    const fraction = inBatch.times(dose);
    return [
      {
        material: key,
        name,
        fraction,
        limit: most,
        document: limit.document,
        date: limit.date,
        exceeded: fraction.gt(most),
        highestDose: Decimal.min(one, most.div(inBatch)),
      },
    ];
  });
}

function unknownMaterials({ composition, materials }: DeclarationInput, tables: Tables): string[] {
  const known = new Map(materials.map((material) => [material.key, material]));
  return composition.flatMap(({ material: key, fraction }) => {
    const material = known.get(key);
    if (!fraction.gt(0) || material?.kind === 'solvent') return [];
    if (material === undefined) return [key];
    return material.constituents === undefined && broughtBy(material, tables).length === 0
      ? [material.name]
      : [];
  });
}

/**
 * Constituents of a finished product against the labelling thresholds, and the supplier's limits of its materials.
 * A constituent counts what the supplier's documents state of every material, and the material itself where it is one
 * of the table. "Exceeds" is strict, as in the rule. Fractions by mass.
 * @throws RangeError when the dose is not above 0 and at most 1
 */
export function declarationOf(input: DeclarationInput): Declaration {
  const { dose, use, table } = input;
  if (!dose.gt(0) || dose.gt(1))
    throw new RangeError(`a dose of ${plain(dose)} is not above 0 and at most 1`);
  const percent = use === 'leave-on' ? table.threshold_pct.leave_on : table.threshold_pct.rinse_off;
  const threshold = new Decimal(percent).div(100);
  const tables = tablesOf(table);
  const limits = supplierLimits(input);
  return {
    use,
    dose,
    threshold,
    constituents: [...gathered(input, tables).values()]
      .map((bringing) => declared(bringing, tables, threshold))
      .sort((a, b) => b.fraction.comparedTo(a.fraction) || (a.name < b.name ? -1 : 1)),
    limits,
    highestDose: limits.length === 0 ? null : Decimal.min(...limits.map((limit) => limit.highestDose)),
    unknown: unknownMaterials(input, tables),
    note: NO_ASSESSMENT,
  };
}
