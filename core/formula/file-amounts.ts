import { fractionsFrom, type StatedLine } from './amounts.ts';
import type { FormulaFile } from './file-schema.ts';
import { FormulaTrouble, type Problem, trouble } from './trouble.ts';

type FileLine = FormulaFile['lines'][number];

const AMOUNT = /^\s*(\d{1,9}(?:\.\d{1,12})?)\s*([A-Za-z-]+)?\s*$/;

function statedLine(line: FileLine, at: number): StatedLine | Problem {
  const field = `lines[${at}].amount`;
  const id = line.id ?? `l${at + 1}`;
  const common = { id, material: line.material, ...(line.lot === undefined ? {} : { lot: line.lot }) };
  if (line.qs === true) return { ...common, qs: true };
  if (line.amount === undefined)
    return {
      field,
      what: 'is missing, where other lines state an amount',
      next: 'Write an amount on every line, or fractions on all.',
    };
  if (line.fraction !== undefined)
    return { field, what: 'stands beside a fraction', next: 'Leave one of them out.' };
  const [, amount, unit] = AMOUNT.exec(line.amount) ?? [];
  if (amount === undefined)
    return {
      field,
      what: `"${line.amount}" is no amount`,
      next: 'Write a figure and a unit: "1.5 g", "300 mg" or "3 parts".',
    };
  return {
    ...common,
    amount,
    ...(unit === undefined ? {} : { unit }),
    ...(line.dilution === undefined ? {} : { dilution: line.dilution }),
  };
}

function totalOf(file: FormulaFile): string {
  if (file.total === undefined) return file.batch;
  const [, amount] = AMOUNT.exec(file.total) ?? [];
  if (amount === undefined)
    throw trouble(
      'total',
      `"${file.total}" is no amount`,
      'Write what the q.s. line fills to, such as "100 parts".',
    );
  return amount;
}

/**
 * Turns lines that state amounts (grams, other masses, parts, or named dilutions) into fractions; a file that states
 * fractions is given back as it is. `words` say what was done and why grams.
 * @throws FormulaTrouble naming the lines that cannot be converted
 */
export function withFractions(file: FormulaFile): { file: FormulaFile; words: readonly string[] } {
  if (file.lines.every((line) => line.amount === undefined)) return { file, words: [] };
  const read = file.lines.map(statedLine);
  const problems = read.flatMap((one) => ('what' in one ? [one] : []));
  if (problems.length > 0) throw new FormulaTrouble(problems);
  const lines = read.flatMap((one) => ('what' in one ? [] : [one]));
  const { lines: converted, words } = fractionsFrom(lines, totalOf(file));
  return { file: { ...file, lines: converted.map((line) => ({ ...line })) }, words };
}
