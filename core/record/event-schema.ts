import { z } from 'zod';
import type { PourEvent, StoredEvent } from '../pour/events.ts';

/** Plain decimal text: no exponent, a point as decimal sign. */
export const Text = z.string().regex(/^-?\d{1,15}(\.\d{1,25})?$/, 'is not a plain decimal number');
/** 64 lower-case hexadecimal digits. */
export const Hash = z.string().regex(/^[0-9a-f]{64}$/, 'is not a SHA-256 hash');
/** RFC 3339, UTC, with milliseconds. */
export const Stamp = z
  .string()
  .regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/, 'is not a UTC time like 2026-01-31T09:30:00.000Z');

const Note = z.enum(['top', 'heart', 'base']);
const Texts = z.record(z.string(), Text);

export const Material = z.strictObject({
  key: z.string(),
  name: z.string(),
  note: Note.nullable(),
  family: z.string(),
  kind: z.enum(['neat', 'solvent']),
  solid: z.boolean().exactOptional(),
  otherNames: z.array(z.string()).exactOptional(),
  cas: z.string().exactOptional(),
  shelfLife: z.string().exactOptional(),
  density: Text.exactOptional(),
  cautions: z.array(z.string()).exactOptional(),
  limit: z.strictObject({ fraction: Text, document: z.string(), date: z.string() }).exactOptional(),
  constituents: z
    .array(z.strictObject({ name: z.string(), cas: z.string().exactOptional(), fraction: Text }))
    .exactOptional(),
});

export const Lot = z.strictObject({
  code: z.string(),
  name: z.string(),
  composition: Texts,
  uncertainty: Texts.exactOptional(),
  stock: Text.exactOptional(),
  drop: Text.exactOptional(),
  price: Text.exactOptional(),
  bestBefore: z.string().exactOptional(),
  madeBy: z.string().exactOptional(),
  supplierLot: z.string().exactOptional(),
  received: z.string().exactOptional(),
  opened: z.string().exactOptional(),
  finished: z.string().exactOptional(),
  bottle: z.string().exactOptional(),
  glass: z.enum(['dark', 'clear']).exactOptional(),
  empty: Text.exactOptional(),
  place: z.string().exactOptional(),
});

export const Formula = z.strictObject({
  id: z.string(),
  name: z.string(),
  batch: Text,
  tolerance: Text,
  lines: z.array(
    z.strictObject({
      id: z.string(),
      material: z.string(),
      fraction: Text.exactOptional(),
      lot: z.string().exactOptional(),
      qs: z.boolean().exactOptional(),
    }),
  ),
  version: z.int().min(1).exactOptional(),
});

export const Limits = z.strictObject({ d: Text, s: Text, c: Text, capacity: Text });

const Step = z.strictObject({
  line: z.string(),
  material: z.string(),
  lot: z.string(),
  title: z.string(),
  note: Note.nullable(),
  family: z.string(),
  kind: z.enum(['neat', 'dilution', 'solvent']),
  solid: z.boolean(),
  qs: z.boolean(),
  target: Text,
  half: Text,
  drop: Text,
  sureness: z.enum(['sure', 'coarse', 'blind']),
  dropTooLarge: z.boolean(),
  cautions: z.array(z.string()),
  reason: z.string(),
  unplanned: z.literal(true).exactOptional(),
});

const Plan = z.strictObject({
  total: Text,
  tolerance: Text,
  steps: z.array(Step),
  warnings: z.array(z.strictObject({ line: z.string().nullable(), what: z.string(), text: z.string() })),
});

const Settled = z.strictObject({
  g: Text,
  at: z.number(),
  since: z.number(),
  readings: z.int().min(1),
  rule: z.string(),
});

const PourNo = z.int().min(1);
const Verdict = z.enum(['inside', 'over', 'under']);
const NewTarget = z.strictObject({
  line: z.string(),
  target: Text,
  half: Text,
  topUp: z.strictObject({ low: Text, aim: Text, high: Text }).nullable(),
});

const NewBottle = z.strictObject({
  line: z.string(),
  lot: z.string(),
  title: z.string(),
  kind: z.enum(['neat', 'dilution', 'solvent']),
  drop: Text,
  cautions: z.array(z.string()),
});
const From = z.enum(['unmixed', 'stirred']);
const afterWithdrawal = {
  after: Text,
  taken: Text,
  verdict: Verdict,
  scale: Text,
  targets: z.array(NewTarget),
  total: Text,
  settled: Settled,
};

/** How the balance stood when it was last checked, as told at the start of the batch. */
const LastCheck = z.strictObject({
  at: Stamp.nullable(),
  verdict: z.enum(['pass', 'doubtful', 'fail', 'none']),
  overdue: z.boolean(),
  text: z.string(),
});

export const Balance = z.strictObject({
  name: z.string(),
  link: z.string(),
  limits: Limits,
  serial: z.string().exactOptional(),
  check: LastCheck.exactOptional(),
});

const Event = z.discriminatedUnion('type', [
  z.strictObject({
    type: z.literal('started'),
    operator: z.string(),
    balance: Balance,
    formula: Formula,
    plan: Plan,
    materials: z.array(Material),
    lots: z.array(Lot),
    shelf: z.array(Lot).exactOptional(),
    follows: z.string().exactOptional(),
    cautions: z.enum(['shown', 'required']).exactOptional(),
  }),
  z.strictObject({ type: z.literal('vessel-weighed'), gross: Text, settled: Settled }),
  z.strictObject({
    type: z.literal('pour-begun'),
    line: z.string(),
    lot: z.string(),
    confirmed: z.enum(['by eye', 'by scan', 'by script', 'from a sheet']),
    before: Text,
  }),
  z.strictObject({
    type: z.literal('captured'),
    pour: PourNo,
    line: z.string(),
    lot: z.string(),
    before: Text,
    after: Text,
    net: Text,
    verdict: Verdict,
    settled: Settled,
  }),
  z.strictObject({
    type: z.literal('revised'),
    pour: PourNo,
    after: Text,
    net: Text,
    verdict: Verdict,
    settled: Settled,
  }),
  z.strictObject({ type: z.literal('confirmed'), pour: PourNo }),
  z.strictObject({
    type: z.literal('correction-chosen'),
    choice: z.enum(['exact', 'least', 'keep']),
    scale: Text,
    targets: z.array(NewTarget),
    total: Text,
    bottle: NewBottle.exactOptional(),
  }),
  z.strictObject({
    type: z.literal('withdrawal-begun'),
    from: From,
    kind: z.enum(['exact', 'least']),
    low: Text,
    aim: Text,
    high: Text.nullable(),
    before: Text,
  }),
  z.strictObject({ type: z.literal('withdrawal-left') }),
  z.strictObject({ type: z.literal('withdrawn'), from: From, before: Text, ...afterWithdrawal }),
  z.strictObject({ type: z.literal('withdrawal-revised'), ...afterWithdrawal }),
  z.strictObject({ type: z.literal('voided'), pour: PourNo, reason: z.string(), gross: Text }),
  z.strictObject({ type: z.literal('skipped'), line: z.string(), reason: z.string() }),
  z.strictObject({ type: z.literal('re-zeroed'), from: Text, to: Text }),
  z.strictObject({ type: z.literal('vessel-lifted'), last: Text }),
  z.strictObject({ type: z.literal('vessel-returned'), gross: Text, off: Text, settled: Settled }),
  z.strictObject({ type: z.literal('re-read'), from: Text, to: Text, why: z.string() }),
  z.strictObject({
    type: z.literal('line-added'),
    step: Step,
    lot: Lot,
    materials: z.array(Material),
    why: z.string(),
  }),
  z.strictObject({ type: z.literal('caution-heeded'), caution: z.string(), line: z.string().nullable() }),
  z.strictObject({ type: z.literal('break-taken'), minutes: z.number().min(0) }),
  z.strictObject({
    type: z.literal('closing-weighed'),
    gross: Text,
    closure: Text,
    limit: Text,
    passes: z.boolean(),
    settled: Settled,
  }),
  z.strictObject({
    type: z.literal('pan-checked'),
    pan: Text,
    expected: Text,
    limit: Text,
    passes: z.boolean(),
    settled: Settled,
  }),
  z.strictObject({ type: z.literal('paused'), why: z.string(), gross: Text.exactOptional() }),
  z.strictObject({ type: z.literal('resumed') }),
  z.strictObject({ type: z.literal('balance-lost'), why: z.string() }),
  z.strictObject({ type: z.literal('balance-back') }),
  z.strictObject({ type: z.literal('noticed'), what: z.string(), detail: z.string() }),
  z.strictObject({ type: z.literal('closed'), gross: Text, closure: Text, settled: Settled }),
  z.strictObject({
    type: z.literal('abandoned'),
    reason: z.string(),
    followedBy: z.string().exactOptional(),
    discarded: Text.exactOptional(),
  }),
  z.strictObject({ type: z.literal('amended'), who: z.string(), why: z.string(), text: z.string() }),
]);

export const StoredEventSchema = z.strictObject({
  batch: z.string().min(1),
  n: z.int().min(1),
  at: Stamp,
  event: Event,
  prev: Hash,
  hash: Hash,
});

/** The compiler holds that the schema and the events say the same, both ways. */
type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
true satisfies Same<z.infer<typeof Event>, DeepMutable<PourEvent>>;
true satisfies Same<z.infer<typeof StoredEventSchema>, DeepMutable<StoredEvent>>;

type DeepMutable<T> = T extends object ? { -readonly [K in keyof T]: DeepMutable<T[K]> } : T;
