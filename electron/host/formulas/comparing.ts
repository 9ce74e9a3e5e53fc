import type { z } from 'zod';
import { adopted } from '../../../core/formula/adopt.ts';
import { type ComparedMaterial, compareFormulas } from '../../../core/formula/compare-formulas.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import type { Formula, Material } from '../../../core/formula/types.ts';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import { decimal, plain } from '../../../core/quantity/decimal.ts';
import type { RecordFile } from '../../../core/record/record.ts';
import { recordOf } from '../record-view.ts';
import type { FormulaVersion, FormulaVersions } from '../store/formula-versions.ts';
import type { Store } from '../store/store.ts';
import type * as table from '../table-written.ts';
import { HostTrouble } from '../trouble.ts';
import { byKey, share } from './texts.ts';

type Comparison = z.infer<typeof table.ComparisonOfFormulas>;
type AdoptView = z.infer<typeof table.AdoptView>;

const signed = (text: string): string => (text.startsWith('-') ? text : `+${text}`);

function rowView(row: ComparedMaterial, names: ReadonlyMap<string, Material>): Comparison['rows'][number] {
  const side = (fraction: string | null, fills: boolean): string =>
    fraction === null ? '–' : `${fills ? 'q.s. ' : ''}${share(decimal(fraction))}`;
  const same = row.how === 'same';
  return {
    material: names.get(row.material)?.name ?? row.material,
    how: row.how,
    a: side(row.a, row.fills.a),
    b: side(row.b, row.fills.b),
    difference: same ? '0 %' : signed(share(decimal(row.difference), 4)),
    grams: same ? '0' : signed(plain(decimal(row.grams).toSignificantDigits(4))),
  };
}

const titleOf = ({ written, n }: FormulaVersion): string => `${written.name}, version ${n}`;

function comparison(
  a: { readonly formula: Formula; readonly title: string },
  b: { readonly formula: Formula; readonly title: string },
  batch: string,
  materials: readonly Material[],
): Comparison {
  const names = byKey(materials);
  const rows = compareFormulas(a.formula, b.formula, batch).map((row) => rowView(row, names));
  return { a: a.title, b: b.title, batch, rows };
}

/** Two versions, or two formulas, line by line. */
export function comparisonView(
  store: Pick<Store, 'versions'>,
  a: FormulaVersion,
  b: FormulaVersion,
  batch?: string,
): Comparison {
  const size = batch ?? b.formula.batch;
  if (!decimal(size).gt(0))
    throw new HostTrouble(`A batch of ${size} g is not above 0.`, 'batch', 'Give a mass above zero.');
  return comparison(
    { formula: a.formula, title: titleOf(a) },
    { formula: b.formula, title: titleOf(b) },
    size,
    store.versions.known().materials,
  );
}

interface Adopting {
  readonly record: RecordFile;
  /** The formula that it was poured by, as its first event tells. */
  readonly poured: Formula;
  readonly from: FormulaVersion | null;
}

function adopting(store: Pick<Store, 'versions' | 'journal'>, batch: string): Adopting {
  const record = recordOf(store.journal, batch);
  const [first] = record.events;
  if (first?.event.type !== 'started') throw new RangeError(`batch ${batch} does not begin with its start`);
  const poured = first.event.formula;
  return { record, poured, from: store.versions.at(poured.id, poured.version ?? 1) };
}

/** The formula that a closed batch was, to be saved as the next version. */
function writtenAsMade({ record, poured, from }: Adopting, versions: FormulaVersions): WrittenFormula {
  const head = versions.head(poured.id)?.written ?? from?.written;
  return adopted(poured, record.asMade.composition, {
    name: head?.name ?? poured.name,
    batch: head?.batch ?? poured.batch,
    tolerance: head?.tolerance ?? poured.tolerance,
  });
}

const whyText = ({ record }: Adopting): string =>
  `as made in batch ${record.batch.name}, ${record.batch.started.slice(0, 10)}`;

/** The formula a closed batch is as made, or in words why this workshop can make none of it. */
function resolvedAsMade(given: Adopting, versions: FormulaVersions): Formula | string {
  try {
    return versions.resolve(writtenAsMade(given, versions)).formula;
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    const what = cause.problems.map((one) => one.what).join(', ');
    return `It cannot be adopted here: ${what}. ${cause.problems[0]?.next ?? ''}`;
  }
}

/**
 * Which version a batch was poured from, and what taking over what was really poured would change, line by line.
 * @throws HostTrouble when there is no such batch
 */
export function adoptView(store: Pick<Store, 'versions' | 'journal'>, batch: string): AdoptView {
  const given = adopting(store, batch);
  const { record, poured, from } = given;
  const view = {
    id: poured.id,
    name: poured.name,
    n: from?.n ?? null,
    done: store.versions.adoptedFrom(batch),
  };
  if (record.batch.status !== 'closed') return { ...view, offer: null, not: null };
  const made = resolvedAsMade(given, store.versions);
  if (typeof made === 'string') return { ...view, offer: null, not: made };
  return {
    ...view,
    not: null,
    offer: {
      why: whyText(given),
      comparison: comparison(
        { formula: poured, title: 'by the formula' },
        { formula: made, title: 'as made' },
        record.asMade.total,
        record.materials,
      ),
    },
  };
}

/**
 * Makes what a closed batch really holds the newest version of its formula.
 * @throws HostTrouble when the batch is not closed, FormulaTrouble when what it holds is no formula
 */
export function adopt(
  store: Pick<Store, 'versions' | 'journal'>,
  batch: string,
  why: string,
  at: string,
): { id: string; n: number } {
  const given = adopting(store, batch);
  if (given.record.batch.status !== 'closed')
    throw new HostTrouble(
      'This batch is not closed.',
      'Records',
      'Close it first: only then is known what it holds.',
    );
  const written = writtenAsMade(given, store.versions);
  const saved = store.versions.save(written, {
    why: why.trim() || whyText(given),
    at,
    adopted: batch,
    asNew: true,
  });
  return { id: written.id, n: saved.version };
}
