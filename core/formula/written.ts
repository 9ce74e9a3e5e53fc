import { z } from 'zod';
import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import type { Formula } from './types.ts';

const Figure = z.string().regex(/^-?\d{1,15}(\.\d{1,25})?$/, 'is not a plain decimal number');
const Id = z.string().min(1).max(200);
/** Text on one line that holds more than blanks. */
const Name = z.string().regex(/^(?=.*\S)\P{Cc}{1,200}$/u, 'must hold one to 200 characters, on one line');

/** How the amount of a line is stated: as a share of the batch, in parts of the whole, or as a mass in it. */
export const AMOUNT_UNITS = ['percent', 'parts', 'grams'] as const;
export type AmountUnit = (typeof AMOUNT_UNITS)[number];

/** What a line is of: a material of the Organ, or an accord, that is another formula in one of its versions. */
const Of = z.union([
  z.strictObject({ material: Id }),
  z.strictObject({ formula: Id, version: z.int().min(1) }),
]);

/** One line as it is written. */
export const WrittenLine = z.strictObject({
  id: Id,
  of: Of,
  /** Absent on the q.s. line. Grams are those in the batch as written. */
  amount: z.strictObject({ figure: Figure, unit: z.enum(AMOUNT_UNITS) }).exactOptional(),
  /** The amount is of a dilution of this strength (mass fraction); the neat material is meant where absent. */
  dilution: z.strictObject({ strength: Figure, solvent: Id }).exactOptional(),
  qs: z.literal(true).exactOptional(),
  /** Code of the lot it is poured from; for an accord, a lot that a batch of it became. */
  lot: Id.exactOptional(),
});

/** A formula as a person writes it: amounts in their own units, accords by name. */
export const WrittenFormula = z.strictObject({
  id: Id,
  name: Name,
  /** Mass of the batch in g that grams are written for. */
  batch: Figure,
  /** Half-width of a window as a fraction of its target. */
  tolerance: Figure,
  /** How many parts make the whole; absent, the lines in parts share out what the other lines leave. */
  partsOf: Figure.exactOptional(),
  lines: z.array(WrittenLine).max(2000),
});

export type WrittenLine = z.infer<typeof WrittenLine>;
export type WrittenFormula = z.infer<typeof WrittenFormula>;

/** A fraction as per cent, exactly: "0.025" is "2.5". */
export const percentOf = (fraction: DecimalText): DecimalText => plain(decimal(fraction).times(100));

/** A formula of neat fractions as a person would have written it: every line in per cent. Nothing is rounded. */
export function writtenOf(formula: Formula): WrittenFormula {
  return {
    id: formula.id,
    name: formula.name,
    batch: formula.batch,
    tolerance: formula.tolerance,
    lines: formula.lines.map((line) => ({
      id: line.id,
      of: { material: line.material },
      ...(line.fraction === undefined
        ? {}
        : { amount: { figure: percentOf(line.fraction), unit: 'percent' as const } }),
      ...(line.qs === true ? { qs: true as const } : {}),
      ...(line.lot === undefined ? {} : { lot: line.lot }),
    })),
  };
}

/** Versions of other formulas that a formula is written with, each once. */
export function accordsOf(written: WrittenFormula): { readonly formula: string; readonly version: number }[] {
  const found = new Map<string, { formula: string; version: number }>();
  for (const { of } of written.lines)
    if ('formula' in of) found.set(`${of.formula}\n${of.version}`, { ...of });
  return [...found.values()];
}

/**
 * The same formula for another batch: grams are written anew so that every share stays, with as many digits as that
 * takes. Shares and parts stay as they are.
 */
export function writtenAt(written: WrittenFormula, batch: DecimalText): WrittenFormula {
  const factor = decimal(batch).div(decimal(written.batch));
  return {
    ...written,
    batch,
    lines: written.lines.map((line) =>
      line.amount?.unit === 'grams'
        ? {
            ...line,
            amount: {
              unit: 'grams' as const,
              figure: plain(
                decimal(line.amount.figure).times(factor).toDecimalPlaces(12, Decimal.ROUND_HALF_EVEN),
              ),
            },
          }
        : line,
    ),
  };
}
