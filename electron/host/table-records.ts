import { z } from 'zod';
import { LastCheck } from './table-care.ts';
import { Mass } from './table-mass.ts';

const RecordRow = z.object({
  batch: z.string(),
  name: z.string(),
  started: z.string(),
  /** "interrupted" until a closing event is there. */
  status: z.enum(['closed', 'interrupted', 'abandoned']),
  total: Mass.nullable(),
});

export const RecordView = RecordRow.extend({
  operator: z.string(),
  balance: z.string(),
  serial: z.string().nullable(),
  /** How the balance stood when the batch was begun; null in records from before that was kept. */
  check: LastCheck.nullable(),
  /** The formula it was poured by. */
  formula: z.string(),
  strength: z.object({
    asMade: z.string(),
    u: z.string(),
    target: z.string(),
    /**
     * Mass fractions: as made with U, target, and what the windows of the lines allow; null when nothing was poured or
     * planned.
     */
    scale: z
      .object({ made: z.string(), u: z.string(), target: z.string(), low: z.string(), high: z.string() })
      .nullable(),
    workings: z.array(z.string()),
  }),
  closure: Mass.nullable(),
  /** What the closure means. */
  closureText: z.string().nullable(),
  /** Estimates from densities, marked as such; null when nothing was poured. */
  estimates: z
    .object({ density: z.string(), volume: z.string(), ethanol: z.string(), note: z.string() })
    .nullable(),
  cost: z.string(),
  lots: z.array(z.object({ lot: z.string(), name: z.string(), mass: Mass })),
  lines: z.array(
    z.object({
      line: z.string(),
      title: z.string(),
      lot: z.string(),
      target: Mass,
      /** Half-width of the window about the target, with its sign. */
      window: z.string(),
      poured: Mass,
      /** Expanded uncertainty of what was poured, k = 2. */
      u: z.string(),
      /** With its sign. */
      deviation: z.string(),
      percent: z.string(),
      drops: z.string(),
      mark: z.enum(['none', 'inside', 'over', 'under', 'kept', 'skipped']),
    }),
  ),
  composition: z.array(
    z.object({
      material: z.string(),
      kind: z.enum(['neat', 'solvent']),
      percent: z.string(),
      /** Mass fraction as made. */
      fraction: z.string(),
      /** Expanded uncertainty, k = 2, in the same per cent. */
      u: z.string(),
      target: z.string(),
      /** What the figure was summed from. */
      workings: z.array(z.string()),
    }),
  ),
  events: z.array(z.object({ n: z.number(), at: z.string(), text: z.string() })),
  /** The events that a plain pour would not have. */
  notAsPlanned: z.array(z.object({ n: z.number(), at: z.string(), text: z.string() })),
  /** Usual cautions of what was poured. */
  cautions: z.array(z.string()),
  /** What was added once the batch had ended. */
  amendments: z.array(
    z.object({ n: z.number(), at: z.string(), who: z.string(), why: z.string(), text: z.string() }),
  ),
  verified: z.object({ ok: z.boolean(), text: z.string() }),
});

export const DeclarationView = z.object({
  /** Threshold above which a listed constituent is named, in per cent. */
  threshold: z.string(),
  constituents: z.array(
    z.object({
      name: z.string(),
      cas: z.string().nullable(),
      percent: z.string(),
      declare: z.boolean(),
      /** What the table has on it: its number, its name from a secondary source, or nothing. */
      listing: z.enum(['text', 'secondary', 'none']),
      remark: z.string().nullable(),
      from: z.array(z.string()),
    }),
  ),
  limits: z.array(
    z.object({
      name: z.string(),
      percent: z.string(),
      limit: z.string(),
      document: z.string(),
      exceeded: z.boolean(),
      highestDose: z.string(),
    }),
  ),
  /** The highest dose of this batch in the product that keeps every supplier limit. */
  highestDose: z.string().nullable(),
  unknown: z.array(z.string()),
  note: z.string(),
});
