import { z } from 'zod';
import { Mass } from './table-mass.ts';

/** What a window may ask about lists that are brought in. */

const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });
const Count = z.number().int().min(0);
const Index = z.string().regex(/^\d{1,3}$/);

/** How a list is to be read: what is not said is recognised. Rows count from 1, columns from 0. */
export const ListAsk = z.object({
  file: z.string(),
  target: z.enum(['shelf', 'formula']),
  encoding: z.enum(['utf-8', 'utf-16le', 'utf-16be', 'windows-1252']).optional(),
  delimiter: z.enum(['tab', 'semicolon', 'comma', 'bar', 'none']).optional(),
  sign: z.enum(['point', 'comma']).optional(),
  /** The row of headings; 0 where there is none. */
  header: Count.optional(),
  /** What a column is taken for; null for nothing. */
  columns: z
    .record(Index, z.object({ field: z.string().nullable(), unit: z.string().optional() }))
    .optional(),
  /** Cells mended by hand. */
  edits: z
    .array(z.object({ row: Count, column: Count, text: z.string().max(400) }))
    .max(400)
    .optional(),
  leaveOut: z.array(Count).max(5000).optional(),
  /** Ids of things that differ and are taken from the list. */
  take: z.array(z.string().max(250)).max(2000).optional(),
  /** Solvent of dilutions where the list does not say. */
  solvent: z.string().max(80).optional(),
  /** Beside the lines of a formula. */
  formula: z
    .object({
      name: z.string().max(200),
      batch: Mass.optional(),
      /** Per cent are taken as parts of their sum. */
      scale: z.boolean().optional(),
      /** Name of the material that fills to the whole. */
      fill: z.string().max(200).optional(),
    })
    .optional(),
});

/** How one side of a list was recognised. */
const Told = z.object({ value: z.string(), told: z.string() });

export const ListView = z.object({
  name: z.string(),
  encoding: Told,
  delimiter: Told,
  sign: Told,
  header: z.number(),
  /** What a column can be taken for. */
  fields: z.array(z.object({ field: z.string(), says: z.string() })),
  columns: z.array(
    z.object({
      index: z.number(),
      heading: z.string(),
      field: z.string().nullable(),
      unit: z.string().nullable(),
      units: z.array(z.string()),
      why: z.string(),
    }),
  ),
  /** Rows with something to tell, and the first of the others. */
  rows: z.array(z.object({ row: z.number(), cells: z.array(z.string()) })),
  /** How many rows hold something, and how many of them are not shown. */
  count: z.number(),
  hidden: z.number(),
  remarks: z.array(
    z.object({
      row: z.number(),
      column: z.number().nullable(),
      what: z.string(),
      next: z.string(),
      stops: z.boolean(),
    }),
  ),
  leftOut: z.array(z.object({ row: z.number(), why: z.string() })),
  /** What would come of it, in sentences. */
  summary: z.array(z.string()),
  /** What is here already and told otherwise in the list. */
  differs: z.array(
    z.object({ id: z.string(), name: z.string(), what: z.array(z.string()), take: z.boolean() }),
  ),
  /** What is wrong with a formula as a whole. */
  wrong: z.object({ what: z.string(), next: z.string() }).nullable(),
  ready: z.boolean(),
});

export const BRING_IN_CALLS = {
  /** Announces a file; its parts follow, each small enough for a message. */
  'files.begin': call(z.object({ name: z.string().max(250), size: Count }), z.object({ file: z.string() })),
  'files.part': call(
    z.object({ file: z.string(), base64: z.base64().max(48_000) }),
    z.object({ have: z.number() }),
  ),
  /** Reads a list without taking anything. */
  'bring-in.read': call(ListAsk, ListView),
  /** Takes what was read, all or nothing; answers with what was done and, for a formula, its id. */
  'bring-in.take': call(ListAsk, z.object({ done: z.array(z.string()), formula: z.string().nullable() })),
} as const;
