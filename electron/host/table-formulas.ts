import { z } from 'zod';
import { Mass } from './table-mass.ts';
import * as plans from './table-plans.ts';
import { TRIAL_CALLS } from './table-trials.ts';
import * as written from './table-written.ts';

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });
const Version = z.object({ id: z.string(), n: z.number().int().min(1).optional() });
const Why = z.string().trim().max(500);

/** What a window may ask about formulas and their plans. */
export const FORMULA_CALLS = {
  'formulas.list': call(Nothing, z.array(plans.FormulaView)),
  'formulas.plan': call(plans.Draft, plans.PlanView),
  /** Applies a remedy of a line: the draft to plan next, which may be that of a dilution to make first. */
  'formulas.remedy': call(
    z.object({ draft: plans.Draft, line: z.string(), remedy: z.number().int().min(0) }),
    plans.Draft,
  ),
  /** The plan that waits for a dilution to be made and shelved. */
  'formulas.waiting': call(
    Nothing,
    z.object({ first: z.string(), code: z.string(), name: z.string(), back: plans.Draft }).nullable(),
  ),
  /** Gives up waiting. */
  'formulas.forget': call(Nothing, Nothing),
  /** Formulas by words of their name or of what is in them, by name. */
  'formulas.find': call(
    z.object({ words: z.string().max(200).optional(), limit: z.number().int().min(1).max(500) }),
    z.object({ rows: z.array(written.FormulaRow), found: z.number().int(), all: z.number().int() }),
  ),
  /** One version of a formula; the newest where none is named. */
  'formulas.open': call(Version, written.FormulaSheet),
  /** Cost, and the smallest batch that is surely weighed, at a batch size. */
  'formulas.figures': call(Version.extend({ batch: Mass.optional() }), written.FormulaFigures),
  /** Materials and solvents that a line can be of. */
  'formulas.materials': call(
    Nothing,
    z.array(
      z.object({
        key: z.string(),
        name: z.string(),
        note: z.string().nullable(),
        family: z.string(),
        solvent: z.boolean(),
      }),
    ),
  ),
  /** Bottles that a batch of this formula became. */
  'formulas.bottles': call(
    z.object({ id: z.string() }),
    z.array(z.object({ code: z.string(), name: z.string(), stock: Mass.nullable() })),
  ),
  /** What a formula comes to as it is written, and what is wrong with it. Nothing is stored. */
  'formulas.check': call(z.object({ written: written.Written }), written.CheckView),
  /** Stores it: over a version that was never poured, else as the next one. `base` is the version it was written from. */
  'formulas.save': call(
    z.object({ written: written.Written, why: Why, base: z.number().int().min(1).optional() }),
    z.object({ id: z.string(), n: z.number().int() }),
  ),
  /** Makes an old version the newest again, as a version of its own. */
  'formulas.again': call(
    z.object({ id: z.string(), n: z.number().int().min(1) }),
    z.object({ id: z.string(), n: z.number().int() }),
  ),
  'formulas.compare': call(
    z.object({ a: Version, b: Version, batch: Mass.optional() }),
    written.ComparisonOfFormulas,
  ),
  /** What adopting a batch as made would change in its formula. */
  'formulas.adoptable': call(z.object({ batch: z.string() }), written.AdoptView),
  'formulas.adopt': call(
    z.object({ batch: z.string(), why: Why }),
    z.object({ id: z.string(), n: z.number().int() }),
  ),
  ...TRIAL_CALLS,
} as const;
