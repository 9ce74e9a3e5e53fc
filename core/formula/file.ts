import { type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import { defaultMaterial } from './defaults.ts';
import { withFractions } from './file-amounts.ts';
import { checkFile } from './file-checks.ts';
import { type FormulaFile, formulaFile, gramsOf } from './file-schema.ts';
import { FormulaTrouble, type Problem, trouble } from './trouble.ts';
import type { Formula, FormulaLine, Lot, Material } from './types.ts';

/** What a formula file holds, in the words of the program. */
export interface FormulaInFile {
  readonly formula: Formula;
  /** Every material named in the file, described there or by default. */
  readonly materials: Material[];
  readonly lots: Lot[];
  /** What was converted, and why grams; empty where the lines state fractions. */
  readonly words: readonly string[];
}

type Issue = NonNullable<ReturnType<typeof formulaFile.safeParse>['error']>['issues'][number];

/** What to do about a field that cannot be read, by its name. */
const NEXT: Readonly<Record<string, string>> = {
  format: 'Write the format this program reads.',
  batch: 'Write the total mass with its unit, such as "30 g".',
  tolerance: 'Write "0.01" or "1 %".',
  fraction: 'Write the fraction in decimal text; "0.05" is 5 %.',
  composition: 'Write each part as "key": "fraction" in decimal text.',
  stock: 'Write a mass with its unit, such as "48.20 g".',
  drop: 'Write a mass with its unit, such as "25 mg".',
  bestBefore: 'Write year, month and day.',
};

const pathText = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (text, part) =>
      typeof part === 'number' ? `${text}[${part}]` : `${text}${text === '' ? '' : '.'}${String(part)}`,
    '',
  ) || 'file';

function nextFor(path: readonly PropertyKey[]): string {
  const names = path.filter((part) => typeof part === 'string').reverse();
  const known = names.find((name) => Object.hasOwn(NEXT, name));
  return (known === undefined ? undefined : NEXT[known]) ?? 'Correct it and read the file again.';
}

function problemsOf(issue: Issue): Problem[] {
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => ({
      field: pathText([...issue.path, key]),
      what: 'is no field of a formula file',
      next: 'Correct its spelling, or leave it out.',
    }));
  if (issue.code === 'invalid_key')
    return [
      { field: pathText(issue.path), what: 'a material without a name', next: 'Write its key in quotes.' },
    ];
  return [{ field: pathText(issue.path), what: issue.message, next: nextFor(issue.path) }];
}

function readTolerance(written: string): DecimalText {
  const percent = written.endsWith('%');
  const value = decimal(percent ? written.slice(0, -1).trimEnd() : written).div(percent ? 100 : 1);
  if (value.gt(0) && value.lt('0.5')) return plain(value);
  throw trouble(
    'tolerance',
    `${written} is not between 0 and 0.5`,
    'Write the half-width of a window as a fraction: "0.01" or "1 %".',
  );
}

function positive(grams: DecimalText, field: string): DecimalText {
  if (decimal(grams).gt(0)) return grams;
  throw trouble(field, `${grams} g is not above 0`, 'Write the total mass of the batch, such as "30 g".');
}

/**
 * Reads a mass above zero written with its unit, such as "30g" or "0.5 kg"; without a unit it is grams.
 * @returns grams, with the digits kept
 * @throws FormulaTrouble naming `field`
 */
export function readMass(text: string, field: string): DecimalText {
  try {
    return positive(gramsOf(text), field);
  } catch (cause) {
    if (cause instanceof RangeError) throw trouble(field, cause.message, 'Write a mass such as "30 g".');
    throw cause;
  }
}

/** Drops the fields that were left out, so that what is absent in the file is absent in the program. */
function present<T extends object>(fields: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  const kept = Object.entries(fields).filter(([, value]) => value !== undefined);
  return Object.fromEntries(kept) as { [K in keyof T]: Exclude<T[K], undefined> };
}

const readMaterial = (entry: NonNullable<FormulaFile['materials']>[number]): Material =>
  ({ ...defaultMaterial(entry.key, entry.kind, entry.solid), ...present(entry) }) as Material;

const readLot = (entry: FormulaFile['lots'][number]): Lot => present(entry) as Lot;

const readLine = (entry: FormulaFile['lines'][number], at: number): FormulaLine =>
  present({ ...entry, id: entry.id ?? `l${at + 1}` }) as FormulaLine;

/** Names written as an identity: small letters and digits joined by hyphens. */
function slug(name: string): string {
  const text = name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return text === '' ? 'formula' : text;
}

function materialsOf(file: FormulaFile): Material[] {
  const described = new Map((file.materials ?? []).map((entry) => [entry.key, readMaterial(entry)]));
  const named = [
    ...file.lots.flatMap((lot) => Object.keys(lot.composition)),
    ...file.lines.map((line) => line.material),
  ];
  for (const key of named) if (!described.has(key)) described.set(key, defaultMaterial(key));
  return [...described.values()];
}

/**
 * Reads a formula file that has been parsed from JSON.
 * @throws FormulaTrouble with every problem found, each naming its field: `lines[2].fraction: 1.2 is above 1`
 */
export function readFormulaFile(json: unknown): FormulaInFile {
  const read = formulaFile.safeParse(json);
  if (!read.success) throw new FormulaTrouble(read.error.issues.flatMap(problemsOf));
  const { file, words } = withFractions(read.data);
  const problems = checkFile(file);
  if (problems.length > 0) throw new FormulaTrouble(problems);
  return {
    formula: {
      id: file.id ?? slug(file.name),
      name: file.name,
      batch: positive(file.batch, 'batch'),
      tolerance: readTolerance(file.tolerance),
      lines: file.lines.map(readLine),
    },
    materials: materialsOf(file),
    lots: file.lots.map(readLot),
    words,
  };
}
