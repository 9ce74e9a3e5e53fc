import { z } from 'zod';
import { Mass } from './table-mass.ts';
import { Draft } from './table-plans.ts';

const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/** What a pour sheet says, and the same as a page of its own to keep; masses in g. */
const SheetView = z.object({
  name: z.string(),
  html: z.string(),
  text: z.string(),
  title: z.string(),
  rows: z.array(
    z.object({
      no: z.string(),
      title: z.string(),
      lot: z.string(),
      target: z.string(),
      window: z.string(),
      cautions: z.array(z.string()),
    }),
  ),
});

/** Figures of a sheet. A refusal's `where` is "vessel", "closing", or "net of", "before of", "after of" a line. */
const TypedSheet = z.object({
  draft: Draft,
  operator: z.string().max(80).optional(),
  /** Gross of the empty vessel; absent where it was tared. */
  vessel: Mass.optional(),
  /** Beside each line either `net`, or `before` and `after` as the display showed them. */
  lines: z.array(
    z.object({
      line: z.string(),
      net: Mass.optional(),
      before: Mass.optional(),
      after: Mass.optional(),
    }),
  ),
  /** Gross of vessel and batch at the end; absent where nobody read it. */
  closing: Mass.optional(),
});

export const SHEET_CALLS = {
  /** A sheet to print and carry where no computer goes, with room for each figure. */
  'pour.sheet': call(Draft, SheetView),
  /** Asks for a place with the desktop's own dialog and writes the page there; only with the capability saveDialog. */
  'pour.sheet-save': call(Draft, z.object({ path: z.string().nullable() })),
  /** A batch from the figures of such a sheet; answers with its id in Records. */
  'pour.typed-in': call(TypedSheet, z.object({ batch: z.string() })),
} as const;
