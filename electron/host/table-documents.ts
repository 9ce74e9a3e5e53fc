import { z } from 'zod';
import { Mass } from './table-mass.ts';

/** What a window may ask about records beyond one record: finding, comparing, documents, and the database itself. */

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });
const Status = z.enum(['closed', 'interrupted', 'abandoned']);
const Day = z.string().regex(/^\d{4}-\d\d-\d\d$/, 'Write a day as year, month and day: 2026-01-31.');
const Words = z.string().max(200);

export const RecordQuery = z.object({
  /** Beginnings of words, in any field and in any order. */
  words: Words.optional(),
  name: Words.optional(),
  lot: Words.optional(),
  material: Words.optional(),
  operator: Words.optional(),
  /** "over", "under", "kept", "skipped", "corrected", "withdrawn", "voided", "amended", "balance lost", … */
  deviation: Words.optional(),
  /** First and last day of the start, UTC. */
  from: Day.optional(),
  to: Day.optional(),
  status: Status.optional(),
  /** A line off its target by at least so many per cent of it. */
  worst: z.number().min(0).optional(),
  /** `no` of the last row of the page before. */
  after: z.number().int().optional(),
  limit: z.number().int().min(1).max(500).default(100),
});

export const FoundRow = z.object({
  no: z.number(),
  batch: z.string(),
  name: z.string(),
  started: z.string(),
  status: Status,
  total: Mass.nullable(),
  operator: z.string().nullable(),
  /** In per cent, as shown. */
  strength: z.string().nullable(),
  worst: z.string().nullable(),
  marks: z.string(),
  /** Why there are no figures. */
  trouble: z.string().nullable(),
});

export const RecallRow = z.object({
  batch: z.string(),
  name: z.string(),
  started: z.string(),
  status: Status,
  /** Mass fraction of the batch that comes from the lot, and in per cent as shown. */
  share: z.string(),
  percent: z.string(),
  /** The bottles of this batch that brought it in. */
  through: z.array(z.string()),
  /** The bottle that this batch became. */
  became: z.string().nullable(),
});

const pair = {
  a: z.string().nullable(),
  b: z.string().nullable(),
  difference: z.string().nullable(),
  /** Whether the difference is more than both uncertainties explain. */
  apart: z.boolean().nullable(),
};

export const ComparisonView = z.object({
  sameFormula: z.boolean(),
  total: z.object(pair),
  strength: z.object(pair),
  composition: z.array(
    z.object({ material: z.string(), name: z.string(), kind: z.enum(['neat', 'solvent']), ...pair }),
  ),
  lines: z.array(z.object({ line: z.string(), title: z.string(), ...pair })),
  lots: z.object({ both: z.array(z.string()), onlyA: z.array(z.string()), onlyB: z.array(z.string()) }),
});

export const StrengthPoint = z.object({
  batch: z.string(),
  name: z.string(),
  started: z.string(),
  /** Mass fractions: as made, its expanded uncertainty (k = 2), and by the formula. */
  strength: z.string(),
  u: z.string(),
  target: z.string(),
});

export const TraceView = z.object({
  /** Event that the readings led to. */
  n: z.number(),
  type: z.string(),
  pour: z.number().nullable(),
  start: z.string(),
  /** Milliseconds since the start, and gross in g. */
  readings: z.array(z.tuple([z.number(), z.string()])),
  /** What was settled, from when to when, in ms since the start. */
  settled: z.object({ g: z.string(), since: z.number(), at: z.number(), rule: z.string() }).nullable(),
});

/** A mark on the readings: when in ms since 1970, and the gross it stands at where the balance told one. */
export const TraceMark = z.object({
  at: z.number(),
  kind: z.enum([
    'begun',
    'drop',
    'stream',
    'capture',
    'revision',
    'void',
    'withdrawal',
    'lift',
    'return',
    'knock',
    'zero',
    'overload',
    'lost',
    'back',
  ]),
  text: z.string(),
  g: z.string().nullable(),
});

export const DocumentAsk = z.object({
  batch: z.string(),
  kind: z.enum(['record-pdf', 'sheet-pdf', 'json', 'csv', 'readings-csv', 'folder']),
  decimal: z.enum(['point', 'comma']).default('point'),
});
/** `unshown`: letters that no carried font has; the document writes their code points. */
const Unshown = z.array(z.string()).optional();
export const DocumentFile = z.object({
  name: z.string(),
  type: z.string(),
  base64: z.string(),
  unshown: Unshown,
});

export const Counts = z.object({
  version: z.number(),
  batches: z.number(),
  events: z.number(),
  traces: z.number(),
  materials: z.number(),
  lots: z.number(),
  formulas: z.number(),
  learners: z.number(),
  attempts: z.number(),
});

/** `made`: a key is on this machine; it is read, and its public half told, only while records are signed. */
const Signing = z.object({ made: z.boolean(), on: z.boolean(), publicKey: z.string().nullable() });
const Path = z.string().trim().min(1).max(4000);

export const DOCUMENT_CALLS = {
  /** A page of batches, the latest begun first. */
  'records.find': call(
    RecordQuery,
    z.object({ rows: z.array(FoundRow), more: z.boolean(), all: z.number() }),
  ),
  /** Adds to the record of an ended batch; nothing before it changes. */
  'records.amend': call(
    z.object({ batch: z.string(), who: z.string(), why: z.string(), text: z.string() }),
    z.object({ n: z.number() }),
  ),
  /** Every batch that holds a lot, through dilutions too; `unread` are batches nobody can know it of. */
  'records.recall': call(
    z.object({ lot: z.string().trim().min(1) }),
    z.object({
      rows: z.array(RecallRow),
      unread: z.array(z.object({ batch: z.string(), name: z.string() })),
    }),
  ),
  'records.compare': call(z.object({ a: z.string(), b: z.string() }), ComparisonView),
  /** Every closed batch of one formula, the oldest first. */
  'records.strengths': call(z.object({ formula: z.string() }), z.array(StrengthPoint)),
  'records.traces': call(
    z.object({ batch: z.string() }),
    z.object({ traces: z.array(TraceView), marks: z.array(TraceMark) }),
  ),
  'records.document': call(DocumentAsk, DocumentFile),
  /** Asks for a place with the desktop's own dialog and writes there; only with the capability saveDialog. */
  'records.document-save': call(DocumentAsk, z.object({ path: z.string().nullable(), unshown: Unshown })),
  /** Whether record files are signed, and by which key. */
  'signing.state': call(Nothing, Signing),
  'signing.set': call(z.object({ on: z.boolean() }), Signing),
  /**
   * Writes a checked copy of the database: to `path`, else where the dialog says, else beside the database. The store of
   * Practice goes beside that copy; `practice` is null where nobody has practised.
   */
  'store.backup': call(
    z.object({ path: Path.optional() }),
    z.object({
      path: z.string().nullable(),
      counts: Counts.nullable(),
      practice: z.object({ path: z.string(), counts: Counts }).nullable(),
    }),
  ),
  /**
   * Checks a backup, and that of Practice where it lies beside it; they take the place of the databases at the next
   * start of the program.
   */
  'store.restore': call(z.object({ path: Path }), z.object({ counts: Counts, practice: Counts.nullable() })),
  /** What a restore that waits for the next start holds; null where none waits. */
  'store.restore-waits': call(Nothing, z.object({ counts: Counts.nullable() })),
  /** Takes back a restore that waits for the next start. */
  'store.restore-forget': call(Nothing, Nothing),
} as const;
