import { z } from 'zod';
import { WrittenFormula } from '../formula/written.ts';
import { Formula, Lot, Material, Stamp } from './event-schema.ts';

export const ORGAN_FORMAT = 'pourwright organ 1';
export const FORMULAS_FORMAT = 'pourwright formulas 1';

/** Materials and bottles of a workshop. Masses in g, shares as mass fractions, prices of one gram. */
export const OrganFile = z
  .strictObject({
    format: z.literal(ORGAN_FORMAT),
    materials: z.array(Material).describe('Neat materials and solvents.'),
    lots: z.array(Lot).describe('Bottles; stock is what they hold now, in g.'),
  })
  .describe('Materials and bottles of a workshop.');
export type OrganFile = z.infer<typeof OrganFile>;

export const FormulaVersionInFile = z.strictObject({
  n: z.int().min(1),
  at: Stamp.describe('When it was saved.'),
  why: z.string(),
  fixed: z.boolean().describe('It was poured, or is an accord of another formula: it never changes.'),
  adopted: z.string().nullable().describe('The batch whose as-made composition it took over.'),
  written: WrittenFormula.describe('As a person wrote it.'),
  formula: Formula.describe('As it is planned: mass fractions of neat materials and solvents.'),
});
export type FormulaVersionInFile = z.infer<typeof FormulaVersionInFile>;

/** Formulas with their versions, the oldest first. */
export const FormulasFile = z
  .strictObject({
    format: z.literal(FORMULAS_FORMAT),
    formulas: z.array(z.strictObject({ id: z.string(), versions: z.array(FormulaVersionInFile).min(1) })),
  })
  .describe('Formulas with their versions.');
export type FormulasFile = z.infer<typeof FormulasFile>;

const schemaOf = (title: string, file: z.ZodType): object => ({
  title,
  ...z.toJSONSchema(file, { target: 'draft-2020-12' }),
});

/** JSON Schema (draft 2020-12) of the file of materials and bottles. */
export const organSchema = (): object => schemaOf('Pourwright organ', OrganFile);
/** JSON Schema (draft 2020-12) of the file of formulas. */
export const formulasSchema = (): object => schemaOf('Pourwright formulas', FormulasFile);
