import { z } from 'zod';
import { Mass } from './table-mass.ts';

/** A lot as it stands on its shelf. */
export const LotView = z.object({
  code: z.string(),
  name: z.string(),
  strength: z.string(),
  /** Mass fraction of all that is neat, for sorting and filtering only. */
  neat: z.number(),
  stock: Mass.nullable(),
  bestBefore: z.string().nullable(),
  supplierLot: z.string().nullable(),
  finished: z.boolean(),
  /** Why it is running out, in words; null while it is not. */
  low: z.string().nullable(),
  /** Past its date or soon to be, in words; null while it is not. */
  expiry: z.object({ past: z.boolean(), text: z.string() }).nullable(),
});
export const MaterialView = z.object({
  /** Key of the material; of a blend, the code of its lot. */
  key: z.string(),
  name: z.string(),
  note: z.string().nullable(),
  kind: z.enum(['neat', 'solvent', 'blend']),
  otherNames: z.array(z.string()),
  cas: z.string().nullable(),
  cautions: z.array(z.string()),
  lots: z.array(LotView),
});
export const ShelfView = z.object({ family: z.string(), materials: z.array(MaterialView) });

export const FormulaView = z.object({
  id: z.string(),
  name: z.string(),
  batch: Mass,
  tolerance: z.string(),
  /** How many lines it has. */
  lines: z.number().int(),
});

/** How large a batch: a mass, what fills a bottle, what the shelf gives, or the least that is surely weighed. */
export const BatchSize = z.discriminatedUnion('by', [
  z.object({ by: z.literal('mass'), g: Mass }),
  z.object({ by: z.literal('volume'), ml: Mass }),
  z.object({ by: z.literal('stock') }),
  z.object({ by: z.literal('sure') }),
]);

/** A plan not yet poured: the formula and what a person chose for this batch. */
export const Draft = z.object({
  formula: z.string(),
  size: BatchSize.optional(),
  /** Bottles chosen by hand: lot codes by line. */
  lots: z.record(z.string(), z.string()).optional(),
  /** Lines in the order wanted; those not named follow. */
  order: z.array(z.string()).optional(),
  /** The vessel: its empty mass and what it holds, in g. */
  vessel: z.object({ mass: Mass.optional(), capacity: Mass.optional() }).optional(),
});

export const PlanView = z.object({
  total: Mass,
  /** How the batch size was got, where it was not given as a mass. */
  how: z.string().nullable(),
  /** Price of the batch in the workshop's currency; null when a bottle has no price. */
  cost: z.string().nullable(),
  /** Masses of the parts, where one vessel or the balance cannot take the whole; else one. */
  parts: z.array(Mass),
  steps: z.array(
    z.object({
      line: z.string(),
      title: z.string(),
      lot: z.string(),
      target: Mass,
      low: Mass,
      high: Mass,
      sureness: z.enum(['sure', 'coarse', 'blind']),
      dropTooLarge: z.boolean(),
      reason: z.string(),
      /** How the target, its window and its sureness were got. */
      workings: z.array(z.string()),
      /** Bottles that hold the line's material, the strongest first. */
      bottles: z.array(z.object({ code: z.string(), name: z.string(), strength: z.string() })),
      /** Ways to weigh the line more surely, ranked. */
      remedies: z.array(
        z.object({
          kind: z.enum(['bottle', 'dilution', 'batch', 'balance']),
          text: z.string(),
          sureness: z.enum(['sure', 'coarse', 'blind']),
          /** Whether it can be applied from here. */
          applies: z.boolean(),
        }),
      ),
    }),
  ),
  warnings: z.array(z.object({ line: z.string().nullable(), what: z.string(), text: z.string() })),
});

/** What a closed batch would be on the shelf, or is there already. */
export const ShelfOffer = z.object({ code: z.string(), name: z.string(), done: z.boolean() });
