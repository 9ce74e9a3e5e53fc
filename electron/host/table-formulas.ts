import { z } from 'zod';
import * as plans from './table-plans.ts';

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

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
} as const;
