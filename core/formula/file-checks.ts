import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import { isCas } from './cas.ts';
import type { FormulaFile } from './file-schema.ts';
import type { Problem } from './trouble.ts';

type LotEntry = FormulaFile['lots'][number];
type LineEntry = FormulaFile['lines'][number];

/** How far the fractions of one bottle may be from one: the rounding of a written composition. */
const SUM_SLACK = new Decimal('0.000001');

function outOfRange(field: string, text: string, least: 'zero' | 'above zero'): Problem[] {
  const value = decimal(text);
  const next = 'Write a fraction from 0 to 1 in decimal text; "0.05" is 5 %.';
  if (value.lt(0)) return [{ field, what: `${text} is below 0`, next }];
  if (least === 'above zero' && value.isZero()) return [{ field, what: `${text} is not above 0`, next }];
  return value.gt(1) ? [{ field, what: `${text} is above 1`, next }] : [];
}

function repeated(field: (at: number) => string, names: readonly (string | undefined)[]): Problem[] {
  const first = new Map<string, number>();
  return names.flatMap((name, at) => {
    if (name === undefined) return [];
    const earlier = first.get(name);
    if (earlier === undefined) {
      first.set(name, at);
      return [];
    }
    return [
      {
        field: field(at),
        what: `"${name}" stands there already as ${field(earlier)}`,
        next: 'Name each one once.',
      },
    ];
  });
}

function checkMaterial(material: NonNullable<FormulaFile['materials']>[number], at: number): Problem[] {
  const field = `materials[${at}]`;
  const problems: Problem[] = [];
  if (material.cas !== undefined && !isCas(material.cas))
    problems.push({
      field: `${field}.cas`,
      what: `"${material.cas}" is not a Chemical Abstracts number: its check digit does not fit`,
      next: "Copy it again from the supplier's document.",
    });
  if (material.density !== undefined && !decimal(material.density).gt(0))
    problems.push({
      field: `${field}.density`,
      what: `${material.density} is not above 0`,
      next: 'Write g/mL.',
    });
  if (material.limit !== undefined)
    problems.push(...outOfRange(`${field}.limit.fraction`, material.limit.fraction, 'zero'));
  for (const [place, constituent] of (material.constituents ?? []).entries()) {
    const where = `${field}.constituents[${place}]`;
    problems.push(...outOfRange(`${where}.fraction`, constituent.fraction, 'zero'));
    if (constituent.cas !== undefined && !isCas(constituent.cas))
      problems.push({
        field: `${where}.cas`,
        what: `"${constituent.cas}" has a wrong check digit`,
        next: 'Copy it again.',
      });
  }
  return problems;
}

function checkLot(lot: LotEntry, at: number): Problem[] {
  const field = `lots[${at}]`;
  const parts = Object.entries(lot.composition);
  const problems = parts.flatMap(([key, fraction]) =>
    outOfRange(`${field}.composition.${key}`, fraction, 'above zero'),
  );
  const sum = parts.reduce((total, [, fraction]) => total.plus(decimal(fraction)), new Decimal(0));
  if (problems.length === 0 && sum.minus(1).abs().gt(SUM_SLACK))
    problems.push({
      field: `${field}.composition`,
      what: `the fractions of "${lot.code}" add up to ${plain(sum)}, not to 1`,
      next: 'Name every part of the bottle, its solvent and water too.',
    });
  for (const [key, u] of Object.entries(lot.uncertainty ?? {})) {
    problems.push(...outOfRange(`${field}.uncertainty.${key}`, u, 'zero'));
    if (!Object.hasOwn(lot.composition, key))
      problems.push({
        field: `${field}.uncertainty.${key}`,
        what: `"${key}" is not in the composition of "${lot.code}"`,
        next: 'Name a material of the composition.',
      });
  }
  for (const name of ['stock', 'drop'] as const) {
    const mass = lot[name];
    if (mass === undefined) continue;
    const grams = decimal(mass);
    if (grams.lt(0) || (name === 'drop' && grams.isZero()))
      problems.push({
        field: `${field}.${name}`,
        what: `${mass} g is too small`,
        next: 'Write a mass.',
      });
  }
  if (lot.price !== undefined && decimal(lot.price).lt(0))
    problems.push({
      field: `${field}.price`,
      what: `${lot.price} is below 0`,
      next: 'Write the price of 1 g.',
    });
  return problems;
}

function checkShare(line: LineEntry, field: string): Problem[] {
  const both = line.fraction !== undefined && line.qs === true;
  if (both)
    return [
      {
        field: `${field}.fraction`,
        what: 'a q.s. line fills to the total and takes no fraction',
        next: 'Leave one of them out.',
      },
    ];
  if (line.qs === true) return [];
  if (line.fraction === undefined)
    return [
      {
        field: `${field}.fraction`,
        what: 'is missing',
        next: 'Write the fraction of the batch, or "qs": true.',
      },
    ];
  return outOfRange(`${field}.fraction`, line.fraction, 'above zero');
}

function checkLine(line: LineEntry, at: number, lots: ReadonlyMap<string, LotEntry>): Problem[] {
  const field = `lines[${at}]`;
  const problems = checkShare(line, field);
  if (line.lot === undefined) {
    if (![...lots.values()].some((lot) => Object.hasOwn(lot.composition, line.material)))
      problems.push({
        field: `${field}.material`,
        what: `no lot in the file contains "${line.material}"`,
        next: 'Add a lot that holds it, or correct the key.',
      });
    return problems;
  }
  const lot = lots.get(line.lot);
  if (lot === undefined)
    problems.push({
      field: `${field}.lot`,
      what: `there is no lot "${line.lot}" in the file`,
      next: `Add it under lots, or name one of ${[...lots.keys()].join(', ')}.`,
    });
  else if (!Object.hasOwn(lot.composition, line.material))
    problems.push({
      field: `${field}.lot`,
      what: `"${line.lot}" does not contain "${line.material}"; it holds ${Object.keys(lot.composition).join(', ')}`,
      next: 'Name a lot that holds it.',
    });
  return problems;
}

function checkTotals(file: FormulaFile): Problem[] {
  const problems: Problem[] = [];
  const fills = file.lines.flatMap((line, at) => (line.qs === true ? [at] : []));
  if (fills.length > 1)
    problems.push({
      field: `lines[${fills[1]}].qs`,
      what: `lines[${fills[0]}] fills to the total already`,
      next: 'Only one line may be q.s.; give the other one a fraction.',
    });
  const shares = file.lines.flatMap((line) => (line.fraction === undefined ? [] : [decimal(line.fraction)]));
  const sum = shares.reduce((total, share) => total.plus(share), new Decimal(0));
  if (sum.gt(1) && shares.every((share) => share.gt(0) && share.lte(1)))
    problems.push({
      field: 'lines',
      what: `the fractions add up to ${plain(sum)}: a formula over 100 %`,
      next: 'Lower them until they add up to 1 at most.',
    });
  return problems;
}

/** What cannot be meant in materials and bottles of one file: figures out of range, sums, names used twice. */
export function checkShelf({ materials = [], lots }: Pick<FormulaFile, 'materials' | 'lots'>): Problem[] {
  return [
    ...repeated(
      (at) => `materials[${at}].key`,
      materials.map((one) => one.key),
    ),
    ...materials.flatMap(checkMaterial),
    ...repeated(
      (at) => `lots[${at}].code`,
      lots.map((one) => one.code),
    ),
    ...lots.flatMap(checkLot),
  ];
}

/** Everything in a well-formed file that cannot be meant: shares, sums, names used twice or not known. */
export function checkFile(file: FormulaFile): Problem[] {
  const lots = new Map(file.lots.map((lot) => [lot.code, lot]));
  return [
    ...checkShelf(file),
    ...repeated(
      (at) => `lines[${at}].id`,
      file.lines.map((one) => one.id),
    ),
    ...repeated(
      (at) => `lines[${at}]`,
      file.lines.map((one) => `${one.material}${one.lot === undefined ? '' : ` from ${one.lot}`}`),
    ),
    ...file.lines.flatMap((line, at) => checkLine(line, at, lots)),
    ...checkTotals(file),
  ];
}
