import type { z } from 'zod';
import type { Picture, PicturePart } from '../../../core/formula/picture.ts';
import type { Formula, Material } from '../../../core/formula/types.ts';
import type { WrittenLine } from '../../../core/formula/written.ts';
import { type Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import type { PictureView } from '../table-written.ts';

/** A fraction as per cent with at most so many significant digits. */
export const share = (fraction: Decimal, digits = 5): string =>
  `${plain(fraction.times(100).toSignificantDigits(digits))} %`;

/** A mass of a batch as shown: a tenth of what the finest balances tell; at least two decimals, so that they stand in line. */
export function grams(mass: Decimal): string {
  const told = mass.toDecimalPlaces(4);
  return told.toFixed(Math.max(2, told.decimalPlaces()));
}

const UNITS = { percent: '%', parts: 'parts', grams: 'g' } as const;

export function amountText({ amount, qs }: WrittenLine): string {
  if (qs === true) return 'q.s.';
  if (amount === undefined) return '–';
  return `${amount.figure} ${amount.unit === 'parts' && amount.figure === '1' ? 'part' : UNITS[amount.unit]}`;
}

export function dilutionText(line: WrittenLine, names: ReadonlyMap<string, Material>): string | null {
  if (line.dilution === undefined) return null;
  const { strength, solvent } = line.dilution;
  return `${share(decimal(strength))} in ${names.get(solvent)?.name ?? solvent}`;
}

export function pictureView({ neat, notes, families }: Picture): z.infer<typeof PictureView> {
  const part = ({ name, share: fraction }: PicturePart) => ({
    name,
    percent: share(fraction, 3),
    share: fraction.toNumber(),
  });
  return { neat: share(neat), notes: notes.map(part), families: families.map(part) };
}

export const byKey = (materials: readonly Material[]): ReadonlyMap<string, Material> =>
  new Map(materials.map((one) => [one.key, one]));

/** Mass fraction that is left for the q.s. line. */
export function restOf(formula: Formula): Decimal {
  return formula.lines.reduce((rest, line) => rest.minus(line.fraction ?? '0'), decimal('1'));
}

/** An id for a new formula, from its name: small letters and digits joined by hyphens, and a number where taken. */
export function freeId(name: string, taken: (id: string) => boolean): string {
  const stem =
    name
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-|-$/g, '')
      .slice(0, 80) || 'formula';
  let id = stem === 'new' ? 'new-formula' : stem;
  for (let n = 2; taken(id); n += 1) id = `${stem}-${n}`;
  return id;
}
