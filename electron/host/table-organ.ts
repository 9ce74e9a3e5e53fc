import { z } from 'zod';
import { Mass } from './table-mass.ts';
import * as plans from './table-plans.ts';

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/** Text as typed in a field; empty where nothing is told. */
const Typed = z.string().max(400);
const Lines = z.string().max(4000);

/** One problem of a form: at which field, what is wrong, what to do. */
export const FieldProblem = z.object({ field: z.string(), what: z.string(), next: z.string() });

/** A material as typed. Figures are text; percentages by mass; a document's date is ISO 8601. */
export const MaterialForm = z.object({
  name: Typed,
  /** Separated by commas or lines. */
  otherNames: Lines,
  note: z.enum(['', 'top', 'heart', 'base']),
  family: Typed,
  kind: z.enum(['neat', 'solvent']),
  solid: z.boolean(),
  cas: Typed,
  density: Typed,
  /** How long it keeps once opened, months. */
  shelfLife: Typed,
  /** One a line. */
  cautions: Lines,
  limitPercent: Typed,
  limitDocument: Typed,
  limitDate: Typed,
  constituents: z.array(z.object({ name: Typed, cas: Typed, percent: Typed })).max(200),
});

/** What a lot holds, as typed: percentages by mass, `u` the standard uncertainty in per cent of the whole. */
export const ContentsForm = z.object({
  kind: z.enum(['neat', 'purity', 'dilution', 'composition']),
  material: z.string(),
  percent: Typed,
  u: Typed,
  /** What a dilution is made with: "lot:CODE" or "material:KEY". */
  solvent: z.string(),
  parts: z.array(z.object({ material: z.string(), percent: Typed, u: Typed })).max(200),
});

export const LotForm = z.object({
  code: Typed,
  name: Typed,
  contents: ContentsForm,
  bottle: Typed,
  glass: z.enum(['', 'dark', 'clear']),
  /** The bottle without its content, g. */
  empty: Typed,
  supplierLot: Typed,
  received: Typed,
  opened: Typed,
  bestBefore: Typed,
  price: Typed,
  place: Typed,
});

const Choice = z.object({ value: z.string(), says: z.string() });

export const MaterialSheet = z.object({
  key: z.string(),
  form: MaterialForm,
  lots: z.array(
    z.object({
      code: z.string(),
      name: z.string(),
      strength: z.string(),
      stock: Mass.nullable(),
      finished: z.boolean(),
    }),
  ),
});

export const LotSheet = z.object({
  code: z.string(),
  form: LotForm,
  strength: z.string(),
  parts: z.array(
    z.object({ key: z.string(), name: z.string(), percent: z.string(), u: z.string().nullable() }),
  ),
  /** Why its composition can no longer be changed; null while it can. */
  fixed: z.string().nullable(),
  /** What it holds by the last entry and the pours since; below zero where more was poured than was said. */
  stock: Mass.nullable(),
  /** What is to be heeded: running out, past its date, clear glass. */
  heed: z.array(z.string()),
  finished: z.string().nullable(),
  madeBy: z.object({ batch: z.string(), name: z.string() }).nullable(),
  /** Mass of a drop, and whether it was learnt. */
  drop: z.string(),
  /** From the date it was opened and the shelf life of its material. */
  proposedBestBefore: z.object({ date: z.string(), why: z.string() }).nullable(),
  history: z.array(
    z.object({
      at: z.string(),
      what: z.enum(['stated', 'weighed', 'received', 'corrected', 'poured']),
      /** The whole content of an entry, what was taken of a pour, g. */
      g: Mass,
      text: z.string(),
      batch: z.string().nullable(),
    }),
  ),
  /** It holds something neat, so that it can be diluted. */
  dilutes: z.boolean(),
});

/** What forms choose from. */
export const OrganChoices = z.object({
  families: z.array(z.string()),
  materials: z.array(z.object({ key: z.string(), name: z.string(), kind: z.enum(['neat', 'solvent']) })),
  /** Lots that hold solvents only, and the solvents themselves. */
  solventLots: z.array(Choice),
  solvents: z.array(Choice),
});

const Saved = z.object({ problems: z.array(FieldProblem), saved: z.string().nullable() });

export const Dilution = z.object({
  lot: z.string(),
  percent: Typed,
  /** Code of the lot of solvent. */
  solvent: z.string(),
  g: Typed,
});

/** What a window may ask about materials, lots and stock. */
export const ORGAN_CALLS = {
  'organ.shelves': call(Nothing, z.array(plans.ShelfView)),
  'organ.choices': call(Nothing, OrganChoices),
  'organ.material': call(z.object({ key: z.string() }), MaterialSheet),
  /** Writes a material; `key` is null for a new one. Nothing is written while there are problems. */
  'organ.put-material': call(z.object({ key: z.string().nullable(), form: MaterialForm }), Saved),
  'organ.lot': call(z.object({ code: z.string() }), LotSheet),
  /** A code that is free, for a new lot of a material. */
  'organ.free-code': call(z.object({ material: z.string() }), z.object({ code: z.string() })),
  /** Writes a lot; `code` is null for a new one, which may come with its content in g. */
  'organ.put-lot': call(
    z.object({ code: z.string().nullable(), form: LotForm, stock: Typed.optional() }),
    Saved,
  ),
  /** A lot is used up or thrown away, or is there after all. */
  'organ.finish': call(z.object({ code: z.string(), finished: z.boolean() }), LotSheet),
  /** Says what a bottle holds, or what it weighs with its content and without. */
  'organ.stock': call(
    z.object({
      code: z.string(),
      kind: z.enum(['stated', 'weighed', 'received', 'corrected']),
      g: Typed.optional(),
      gross: Typed.optional(),
      empty: Typed.optional(),
      who: z.string().max(80),
      why: Typed,
    }),
    Saved,
  ),
  /** The two lines of a dilution; nothing is kept. */
  'organ.dilution': call(
    Dilution,
    z.object({ problems: z.array(FieldProblem), plan: plans.PlanView.nullable() }),
  ),
  /** Keeps the dilution as a formula: the draft to pour. */
  'organ.dilute': call(Dilution, plans.Draft),
} as const;
