import { z } from 'zod';
import { checkShelf } from '../../../core/formula/file-checks.ts';
import { resolve, type Sources } from '../../../core/formula/resolve.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import type { Lot } from '../../../core/formula/types.ts';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import { RECORD_FORMAT } from '../../../core/record/record.ts';
import {
  FORMULAS_FORMAT,
  FormulasFile,
  type FormulaVersionInFile,
  ORGAN_FORMAT,
  OrganFile,
} from '../../../core/record/workshop-file.ts';
import type { Store } from '../store/store.ts';
import { HostTrouble } from '../trouble.ts';
import type { Archive } from './archive.ts';

/** What is said begins with its place: whoever mends the file looks for that. */
class Unfit extends HostTrouble {
  constructor(what: string, where: string, next: string) {
    super(`${where}: ${what}`, where, `${next} Nothing was taken.`);
  }
}

/** "lots[3].stock" of a path into the file. */
const placeOf = (path: readonly PropertyKey[]): string =>
  path
    .map((one, i) => (typeof one === 'number' ? `[${one}]` : `${i === 0 ? '' : '.'}${String(one)}`))
    .join('');

function fitting<T>(value: unknown, schema: z.ZodType<T>, name: string): T {
  const read = schema.safeParse(value);
  if (read.success) return read.data;
  const [issue] = read.error.issues;
  throw new Unfit(
    `not as it was handed out: ${issue?.message ?? 'it has another shape'}.`,
    [name, placeOf(issue?.path ?? [])].filter((one) => one !== '').join(', '),
    'Mend this place, or hand the file out anew.',
  );
}

/** What an Organ file says besides its shape: figures in their range, each name once, parts that are known. */
function checkOrgan({ materials, lots }: OrganFile, store: Store, name: string): void {
  const [problem] = checkShelf({ materials, lots });
  if (problem !== undefined) throw new Unfit(`${problem.what}.`, `${name}, ${problem.field}`, problem.next);
  const known = new Set([...materials, ...store.workshop.read().materials].map((one) => one.key));
  for (const [at, lot] of lots.entries()) {
    const strange = Object.keys(lot.composition).find((key) => !known.has(key));
    if (strange === undefined) continue;
    throw new Unfit(
      `the bottle ${lot.code} holds "${strange}", which is no material here nor in the file.`,
      `${name}, lots[${at}].composition`,
      'Add the material to the file, or bring it in first.',
    );
  }
}

const keyOf = (id: string, version: number): string => `${id}\n${version}`;

/** Where formulas of a file find what they name: in the file, or here. */
function sourcesOf({ formulas }: FormulasFile, store: Store): Sources {
  const materials = new Map(store.workshop.read().materials.map((one) => [one.key, one]));
  const inFile = new Map(
    formulas.flatMap(({ id, versions }) =>
      versions.map(({ n, written }): [string, WrittenFormula] => [keyOf(id, n), written]),
    ),
  );
  return {
    accord: (id, n) => inFile.get(keyOf(id, n)) ?? store.versions.at(id, n)?.written ?? null,
    /* Of which bottle an accord is poured is asked when it is planned. */
    lot: () => null,
    madeBy: () => null,
    nameOf: (key) => materials.get(key)?.name ?? null,
    isSolvent: (key) => materials.get(key)?.kind === 'solvent',
  };
}

const pouredFromBottle = ({ lines }: WrittenFormula): boolean =>
  lines.some(({ of, lot }) => 'formula' in of && lot !== undefined);

/** The same without the bottles that accords are poured from. */
const withoutBottles = (written: WrittenFormula): WrittenFormula => ({
  ...written,
  lines: written.lines.map(({ lot, ...line }) =>
    'formula' in line.of || lot === undefined ? line : { ...line, lot },
  ),
});

/** That a version is whole here: all that it names is known, and its shares are what its lines make. */
function checkVersion({ n, written, formula }: FormulaVersionInFile, sources: Sources, where: string): void {
  const called = `${written.name}, version ${n}`;
  const unlike = (): Unfit =>
    new Unfit(
      `the shares of ${called} are not what its lines make.`,
      where,
      'Hand the file out anew, or bring the lines in as a list.',
    );
  try {
    const made = resolve(withoutBottles(written), sources).formula;
    const { version: _, ...said } = formula;
    if (!pouredFromBottle(written) && canonicalJson(made) !== canonicalJson(said)) throw unlike();
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    const what = [...new Set(cause.problems.map((one) => one.what))].join(', ');
    throw new Unfit(
      `${called} cannot be made here: ${what}.`,
      where,
      'Bring in the Organ and the other formulas of that workshop first, or its whole archive.',
    );
  }
}

function checkFormulas(file: FormulasFile, store: Store, name: string): void {
  const sources = sourcesOf(file, store);
  const seen = new Set<string>();
  for (const [at, { id, versions }] of file.formulas.entries()) {
    const numbers = versions.map((one) => one.n);
    const where = `${name}, formulas[${at}]`;
    if (seen.has(id)) throw new Unfit(`the formula "${id}" stands there twice.`, where, 'Take one out.');
    seen.add(id);
    if (numbers.some((n, i) => i > 0 && n <= (numbers[i - 1] ?? 0)))
      throw new Unfit(
        `the versions of "${id}" are not in their order.`,
        where,
        'Put the oldest first, each number once.',
      );
    for (const [i, version] of versions.entries()) {
      const place = `${where}.versions[${i}]`;
      if (version.written.id !== id || version.formula.id !== id)
        throw new Unfit(`a version of "${id}" says that it is of another formula.`, place, 'Mend its id.');
      checkVersion(version, sources, place);
    }
  }
}

/** Stock that the file states and that is not what is known here, as if somebody said it now. */
const stockOf = (lots: readonly Lot[], store: Store, at: string): Archive['stock'] =>
  lots.flatMap(({ code, stock }) =>
    stock === undefined || store.stock.of(code) === stock
      ? []
      : [
          {
            lot: code,
            at,
            kind: 'stated',
            g: stock,
            body: '{"who":"","why":"as the file that was brought in says"}',
          },
        ],
  );

/** Whether a file is text of the kind that is handed out as JSON, and no archive. */
export const looksLikeJson = (bytes: Uint8Array): boolean =>
  /^\uFEFF?\s*[{[]/.test(new TextDecoder().decode(bytes.subarray(0, 200)));

function parsed(bytes: Uint8Array, name: string): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch (cause) {
    throw new Unfit(
      `no JSON that can be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
      name,
      'Hand it out anew.',
    );
  }
}

const Formatted = z.looseObject({ format: z.string() });

/**
 * Opens the Organ or the formulas of a workshop as they are handed out as JSON, and checks everything in it: what is
 * merged afterwards is whole.
 * @param at now, RFC 3339
 * @throws HostTrouble when it is anything else, with the place in the file
 */
export function openHandedJson(bytes: Uint8Array, name: string, store: Store, at: string): Archive {
  const value = parsed(bytes, name);
  const format = Formatted.safeParse(value).data?.format ?? null;
  const nothing: Archive = {
    called: 'file',
    made: null,
    organ: { format: ORGAN_FORMAT, materials: [], lots: [] },
    stock: [],
    formulas: [],
    trials: { trials: [], notes: [] },
    balances: { profiles: [], checks: [] },
    batches: [],
  };
  if (format === ORGAN_FORMAT) {
    const organ = fitting(value, OrganFile, name);
    checkOrgan(organ, store, name);
    return { ...nothing, organ, stock: stockOf(organ.lots as Lot[], store, at) };
  }
  if (format === FORMULAS_FORMAT) {
    const file = fitting(value, FormulasFile, name);
    checkFormulas(file, store, name);
    return { ...nothing, formulas: file.formulas };
  }
  if (format === RECORD_FORMAT)
    throw new Unfit(
      'this is the record of a batch: evidence, which is checked and not brought in.',
      name,
      'Check it with the console: verify. Records of another workshop come in by its archive.',
    );
  throw new Unfit(
    format === null
      ? 'it does not say what it is: it has no "format".'
      : `it is a "${format}", which is not known here.`,
    `${name}, format`,
    'Open what is handed out under Organ, Hand out.',
  );
}
