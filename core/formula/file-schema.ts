import { z } from 'zod';
import { type DecimalText, isDecimalText } from '../quantity/decimal.ts';
import { gramsKeepingDigits } from '../quantity/units.ts';

/** Mark at the head of a formula file; the number goes up when an older reader could misread the file. */
export const FORMULA_FORMAT = 'pourwright formula 1';

type Complaint = (issue: { readonly input?: unknown }) => string;

const show = (input: unknown): string => (typeof input === 'string' ? `"${input}"` : JSON.stringify(input));

const expected =
  (what: string): Complaint =>
  ({ input }) =>
    input === undefined ? 'is missing' : `${show(input)} is not ${what}`;

const DECIMAL = /^-?\d{1,15}(\.\d{1,25})?$/;
const A_TOLERANCE = 'a tolerance such as "0.01" or "1 %"';
const TOLERANCE = /^\d{1,15}(\.\d{1,25})?( ?%)?$/;

/**
 * Decimal text, or a JSON number that is exactly a plain decimal; a number that needs an exponent is refused,
 * because its digits are no longer those that were written.
 */
const decimalText = (about: string, what = 'a plain decimal number') =>
  z
    .union([z.string().regex(DECIMAL, { error: expected(what) }), z.number()], { error: expected(what) })
    .transform((value, context) => {
      const text = String(value);
      if (isDecimalText(text)) return text;
      context.addIssue(`${text} is not ${what}`);
      return z.NEVER;
    })
    .describe(about);

const A_MASS = 'a mass such as "30 g"';
const MASS = /^(-?\d{1,15}(?:\.\d{1,25})?) ?([A-Za-z][A-Za-z-]*)?$/;

/**
 * Grams of a mass in text such as "30 g" or "0.5kg", digits kept; without a unit it is grams.
 * @throws RangeError when it is no mass, its unit is unknown, or it has more digits than a mass is reckoned with
 */
export function gramsOf(text: string): DecimalText {
  const [, figure, unit = 'g'] = MASS.exec(text) ?? [];
  if (figure === undefined) throw new RangeError(`"${text}" is not ${A_MASS}`);
  const grams = gramsKeepingDigits(figure, unit);
  if (isDecimalText(grams)) return grams;
  throw new RangeError(`"${text}" has more digits than a mass is reckoned with`);
}

const massText = (about: string) =>
  z
    .union([z.string().regex(MASS, { error: expected(A_MASS) }), z.number()], { error: expected(A_MASS) })
    .transform((value, context) => {
      try {
        return gramsOf(String(value));
      } catch (cause) {
        if (!(cause instanceof RangeError)) throw cause;
        context.addIssue(cause.message);
        return z.NEVER;
      }
    })
    .describe(`${about} A figure and a unit of mass ("30 g", "0.5 kg"); without a unit, grams.`);

const text = (about: string) =>
  z
    .string({ error: expected('text') })
    .regex(/^(?=.*\S)\P{Cc}{1,200}$/u, {
      error: 'must hold one to 200 characters, not only blanks, on one line',
    })
    .describe(about);

const date = (about: string) =>
  z.iso.date({ error: expected('a date such as "2027-09-30"') }).describe(about);

const fraction = (about: string) => decimalText(about, 'a fraction in decimal text such as "0.05"');

const material = z.strictObject({
  key: text('Key of the material in compositions and lines.'),
  name: text('Name as it stands on the bottle; from the key when absent.').optional(),
  note: z
    .enum(['top', 'heart', 'base'], { error: expected('top, heart, base or null') })
    .nullable()
    .optional(),
  family: text('Shelf on which it stands.').optional(),
  kind: z.enum(['neat', 'solvent'], { error: expected('neat or solvent') }).optional(),
  solid: z.boolean({ error: expected('true or false') }).optional(),
  cas: text('Chemical Abstracts number with its check digit.').optional(),
  density: decimalText('Density at 20 °C in g/mL, for volume estimates only.').optional(),
  cautions: z.array(text('What to mind.'), { error: expected('a list') }).optional(),
  limit: z
    .strictObject({
      fraction: fraction('Highest mass fraction in the finished product.'),
      document: text("The supplier's document."),
      date: date('Date of the document.'),
    })
    .describe("Supplier's limit in the finished product.")
    .optional(),
  constituents: z
    .array(
      z.strictObject({
        name: text('Name of the constituent.'),
        cas: text('Its Chemical Abstracts number.').optional(),
        fraction: fraction('Mass fraction in the neat material.'),
      }),
      { error: expected('a list') },
    )
    .describe("Constituents to declare, from the supplier's document.")
    .optional(),
});

const fractions = (about: string) =>
  z
    .record(text('Material key.'), fraction('Mass fraction.'), {
      error: expected('a list of materials with fractions'),
    })
    .describe(about);

const lot = z.strictObject({
  code: text('Code on the bottle.'),
  name: text('Name on the bottle.'),
  composition: fractions('Mass fractions by material key; they add up to 1.'),
  uncertainty: fractions(
    'Standard uncertainty of a mass fraction; what is not named is taken as exact.',
  ).optional(),
  stock: massText('Mass at hand.').optional(),
  drop: massText('Mass of one drop.').optional(),
  price: decimalText('Price of one gram.').optional(),
  bestBefore: date('Best before.').optional(),
});

const line = z.strictObject({
  id: text('Name of the line; l1, l2, ... when absent.').optional(),
  material: text('Material key.'),
  fraction: fraction('Mass fraction of the neat material in the whole batch.').optional(),
  amount: text(
    'Instead of a fraction, on every line: a mass ("1.5 g") or parts by mass ("3 parts"); converted to fractions.',
  ).optional(),
  dilution: z
    .strictObject({
      strength: fraction('Mass fraction of neat material in the dilution that the amount speaks of.'),
      solvent: text('Material key of its solvent.'),
    })
    .describe('The amount is of a dilution of this strength; the material is meant neat when absent.')
    .optional(),
  lot: text('Code of the lot it is poured from; the plan chooses when absent.').optional(),
  qs: z
    .boolean({ error: expected('true or false') })
    .describe('The line that fills to the total.')
    .optional(),
});

/** A formula with the bottles it is poured from. */
export const formulaFile = z
  .strictObject(
    {
      $schema: z.string().optional(),
      format: z.literal(FORMULA_FORMAT, { error: expected(`"${FORMULA_FORMAT}"`) }),
      id: text('Identity of the formula; from its name when absent.').optional(),
      name: text('Name of the formula.'),
      batch: massText('Total mass.'),
      total: text('Where amounts are parts: what the q.s. line fills to, such as "100 parts".').optional(),
      tolerance: z
        .union([z.string().regex(TOLERANCE, { error: expected(A_TOLERANCE) }), z.number()], {
          error: expected(A_TOLERANCE),
        })
        .transform((value, context) => {
          const text = String(value);
          if (TOLERANCE.test(text)) return text;
          context.addIssue(`${text} is not ${A_TOLERANCE}`);
          return z.NEVER;
        })
        .describe('Half-width of a window as a fraction of its target: "0.01" or "1 %".'),
      materials: z
        .array(material, { error: expected('a list') })
        .describe('Materials worth describing; others take defaults.')
        .optional(),
      lots: z.array(lot, { error: expected('a list') }).describe('Bottles at hand.'),
      lines: z
        .array(line, { error: expected('a list') })
        .min(1, { error: 'holds no line' })
        .describe('What goes in. One line may be q.s.'),
    },
    { error: expected('an object') },
  )
  .describe('A formula and the bottles it is poured from.');

export type FormulaFile = z.output<typeof formulaFile>;

/** JSON Schema (draft 2020-12) of the formula file as it is written, `core/formula/formula.schema.json`. */
export const formulaSchema = (): object => ({
  title: 'Pourwright formula',
  ...z.toJSONSchema(formulaFile, { target: 'draft-2020-12', io: 'input' }),
});
