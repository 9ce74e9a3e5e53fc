import { z } from 'zod';
import { WrittenFormula } from '../../core/formula/written.ts';
import { Mass } from './table-mass.ts';

/** A formula as the window writes it; one that is new has no id yet. */
export const Written = WrittenFormula.extend({ id: z.string().max(200) });

export const FormulaRow = z.object({
  id: z.string(),
  name: z.string(),
  version: z.number().int(),
  lines: z.number().int(),
  batch: Mass,
});

/** Problems of a formula, each at its field: "batch", "lines", "line l3 amount". */
export const ProblemView = z.object({ field: z.string(), what: z.string(), next: z.string() });

export const PictureView = z.object({
  /** Everything neat in the whole, in per cent. */
  neat: z.string(),
  notes: z.array(z.object({ name: z.string(), percent: z.string(), share: z.number() })),
  families: z.array(z.object({ name: z.string(), percent: z.string(), share: z.number() })),
});

/** A material of the resolved formula, with the ways it comes in. */
export const ResolvedRow = z.object({
  line: z.string(),
  material: z.string(),
  note: z.string().nullable(),
  family: z.string(),
  percent: z.string(),
  grams: Mass.nullable(),
  lot: z.string(),
  qs: z.boolean(),
  from: z.array(z.string()),
});

export const Resolved = z.object({ rows: z.array(ResolvedRow), words: z.array(z.string()) });

/** A written line as shown. */
export const WrittenRow = z.object({
  id: z.string(),
  title: z.string(),
  note: z.string().nullable(),
  family: z.string(),
  /** "2.5 %", "3 parts", "1.50 g" or "q.s.". */
  amount: z.string(),
  /** "10 % in Ethanol"; null where the neat material is meant. */
  dilution: z.string().nullable(),
  /** Of the whole, neat, and its mass at the batch; null while they cannot be told. */
  neat: z.string().nullable(),
  grams: Mass.nullable(),
  /** Present on an accord: which version it is, and the newest there is. */
  accord: z.object({ id: z.string(), n: z.number().int(), newest: z.number().int() }).nullable(),
  lot: z.string(),
});

export const CheckView = z.object({
  problems: z.array(ProblemView),
  lines: z.array(WrittenRow),
  /** What the lines add up to, in per cent. */
  sum: z.string(),
  fills: z.object({ name: z.string(), percent: z.string(), grams: Mass }).nullable(),
  resolved: Resolved.nullable(),
  picture: PictureView.nullable(),
});

export const VersionRow = z.object({
  n: z.number().int(),
  at: z.string(),
  why: z.string(),
  fixed: z.boolean(),
  lines: z.number().int(),
  batches: z.array(
    z.object({ batch: z.string(), name: z.string(), started: z.string(), status: z.string() }),
  ),
  /** The batch whose as-made composition it took over. */
  adopted: z.object({ batch: z.string(), name: z.string() }).nullable(),
  usedBy: z.array(z.object({ id: z.string(), name: z.string(), n: z.number().int() })),
});

export const FormulaSheet = CheckView.extend({
  id: z.string(),
  name: z.string(),
  n: z.number().int(),
  /** Number of the newest version. */
  head: z.number().int(),
  at: z.string(),
  why: z.string(),
  fixed: z.boolean(),
  batch: Mass,
  tolerance: z.string(),
  written: WrittenFormula,
  versions: z.array(VersionRow),
});

export const FormulaFigures = z.object({
  batch: Mass,
  /** Smallest batch in which every line is surely weighed; null: there is none. */
  sure: Mass.nullable(),
  cost: z
    .object({
      batch: z.string(),
      per100: z.string(),
      /** Bottles without a price: the cost is without them. */
      missing: z.array(z.string()),
    })
    .nullable(),
  /** Why the figures cannot be told. */
  trouble: z.object({ what: z.string(), next: z.string() }).nullable(),
});

export const ComparedRow = z.object({
  material: z.string(),
  how: z.enum(['added', 'removed', 'changed', 'same']),
  a: z.string(),
  b: z.string(),
  difference: z.string(),
  grams: z.string(),
});

export const ComparisonOfFormulas = z.object({
  a: z.string(),
  b: z.string(),
  batch: Mass,
  rows: z.array(ComparedRow),
});

/** Which formula and version a batch was poured from, and what adopting it would change. */
export const AdoptView = z.object({
  id: z.string(),
  name: z.string(),
  /** Version that it was poured from; null where the formula is not in this workshop. */
  n: z.number().int().nullable(),
  /** The version that took it over already. */
  done: z.object({ id: z.string(), n: z.number().int() }).nullable(),
  /** Absent while the batch is not closed, and where what it holds is no formula here. */
  offer: z.object({ why: z.string(), comparison: ComparisonOfFormulas }).nullable(),
  /** Why what a closed batch holds is no formula here. */
  not: z.string().nullable(),
});
