import { z } from 'zod';
import { DocumentFile } from './table-documents.ts';
import { Mass } from './table-mass.ts';

/** What a window may ask about the care of a balance: profile, checks, history. Masses in g. */

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

const Words = z.string().trim().max(120);
const above = (says: string) => z.string().regex(/^(?!0+(\.0+)?$)\d+(\.\d+)?$/, says);
const Above = above('Write grams above zero, as 200 or 0.01.');
const whole = (least: number, most: number, what: string) => {
  const says = `Write ${what} as a whole number from ${least} to ${most}.`;
  return z.number(says).int(says).min(least, says).max(most, says);
};
const WeightClass = z.enum(['E1', 'E2', 'F1', 'F2', 'M1', 'M2', 'M3']);
const Weights = z.object({
  parts: z
    .array(Above)
    .min(1, 'Name a check weight, as 100 or 100 + 50.')
    .max(6, 'No more than six weights stand together.'),
  weightClass: WeightClass,
});

/** What a person says of a balance. What is null is not known, and a common value is taken. */
export const BalanceProfile = z.object({
  /** Empty: the balance is called by the way it is reached. */
  name: Words,
  serial: Words,
  place: Words,
  capacity: Above.nullable(),
  d: Above.nullable(),
  /** Verification interval and class, as they stand on its plate. */
  e: Above.nullable(),
  balanceClass: z.enum(['I', 'II', 'III', 'IIII']).nullable(),
  /** Calibration share: relative standard uncertainty common to all nets. */
  c: above('Write a share above zero, as 0.0001.').nullable(),
  warmUpMinutes: whole(0, 1440, 'the minutes of warm-up'),
  /** A daily check is due again after so many hours. */
  dueHours: whole(1, 2000, 'the hours'),
  /** The check weight kept at hand. */
  weight: Weights.nullable(),
});
export type BalanceProfile = z.infer<typeof BalanceProfile>;

export const LastCheck = z.object({
  at: z.string().nullable(),
  verdict: z.enum(['pass', 'doubtful', 'fail', 'none']),
  overdue: z.boolean(),
  text: z.string(),
});

/** The balance on the bench: what is known of it, what that gives, and how it stood when it was last checked. */
export const CareView = z.object({
  id: z.string(),
  /** By what it is known again, and how it is reached. */
  knownBy: z.string(),
  name: z.string(),
  profile: BalanceProfile,
  limits: z.object({ d: Mass, s: Mass, c: Mass, capacity: Mass }),
  /** Where each limit comes from, in words. */
  from: z.object({ d: z.string(), s: z.string(), c: z.string(), capacity: z.string() }),
  check: LastCheck,
  /** What to look at before a check. */
  reminders: z.array(z.string()),
  /** The simulated balance is adjusted wrongly, so that a check fails. */
  simulatedWrong: z.boolean(),
});

/** What a check is made with. */
export const CheckOrder = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('daily'), weights: Weights }),
  z.object({
    kind: z.literal('repeatability'),
    /** Null: any steady object. */
    load: Above.nullable(),
    n: z.number().int(),
  }),
  z.object({ kind: z.literal('eccentricity'), load: Above.nullable() }),
  z.object({ kind: z.literal('linearity'), loads: z.array(Weights) }),
  z.object({ kind: z.literal('drift'), load: Above.nullable(), minutes: z.number() }),
  z.object({ kind: z.literal('drops'), count: whole(5, 30, 'the drops') }),
]);

const Verdict = z.enum(['pass', 'doubtful', 'fail']);
const Result = z.object({
  verdict: Verdict,
  text: z.string(),
  rows: z.array(
    z.object({
      label: z.string(),
      figure: z.string(),
      limit: z.string().nullable(),
      ok: z.boolean().nullable(),
    }),
  ),
  /** The published rules beside it, and how they were applied. */
  rules: z.array(z.string()),
});

/** A check under way on the bench, or one that has just ended. */
export const RunView = z.object({
  kind: z.enum(['daily', 'repeatability', 'eccentricity', 'linearity', 'drift', 'drops']),
  title: z.string(),
  phase: z.enum(['stations', 'watching', 'dropping', 'done', 'stopped']),
  /** What is done now, which of how many. */
  step: z.object({ label: z.string(), says: z.string(), number: z.number(), of: z.number() }).nullable(),
  /** Of drift and drops: how far it is, in words. */
  watch: z.string().nullable(),
  /** What is wrong at this moment, and what to do. */
  trouble: z.string().nullable(),
  /** What the pan should carry now, g; null for nothing or for anything. */
  load: Mass.nullable(),
  /** Where it should stand. */
  place: z.string(),
  /** The published rules it will be held against, while it is under way. */
  rules: z.array(z.string()),
  taken: z.array(
    z.object({ label: z.string(), g: Mass, odd: z.string().nullable(), void: z.string().nullable() }),
  ),
  actions: z.array(
    z.object({
      do: z.enum(['take', 'take-all-the-same', 'again', 'end', 'stop', 'leave', 'keep']),
      label: z.string(),
      key: z.string(),
      primary: z.boolean(),
      enabled: z.boolean(),
    }),
  ),
  result: Result.nullable(),
});

/** A check as the history shows it, the latest first. */
export const HistoryRow = z.object({
  n: z.number(),
  at: z.string(),
  kind: z.string(),
  title: z.string(),
  verdict: Verdict.or(z.enum(['stopped', 'unreadable'])),
  text: z.string(),
  result: Result.nullable(),
  main: z.object({ what: z.string(), g: Mass, low: Mass.nullable(), high: Mass.nullable() }).nullable(),
  s: z.object({ g: Mass, u: Mass, n: z.number() }).nullable(),
  /** Every figure that was taken, with those that do not count. */
  taken: z.array(
    z.object({
      label: z.string(),
      g: Mass,
      rule: z.string(),
      odd: z.string().nullable(),
      void: z.string().nullable(),
    }),
  ),
});

const DocumentAsk = z.object({
  kind: z.enum(['pdf', 'csv']),
  decimal: z.enum(['point', 'comma']).default('point'),
});

export const CARE_CALLS = {
  'care.view': call(Nothing, CareView),
  /** Keeps what a person says of the balance on the bench. */
  'care.keep': call(BalanceProfile, CareView),
  /** Begins a check on this bench; refused while a batch is on it or another check is under way. */
  'care.begin': call(CheckOrder, RunView),
  'care.run': call(Nothing, RunView.nullable()),
  'care.do': call(z.object({ do: RunView.shape.actions.element.shape.do }), RunView.nullable()),
  /** Every check of the balance on this bench, the latest first. */
  'care.history': call(Nothing, z.array(HistoryRow)),
  'care.document': call(DocumentAsk, DocumentFile),
  /** Asks for a place with the desktop's own dialog and writes there; only with the capability saveDialog. */
  'care.document-save': call(DocumentAsk, z.object({ path: z.string().nullable() })),
  /** The weights of the simulated balance: one put on the pan, or null for off. */
  'care.weight': call(
    z.object({
      g: Above.nullable(),
      place: z.enum(['centre', 'front left', 'front right', 'back right', 'back left']).default('centre'),
    }),
    Nothing,
  ),
  /** Adjusts the simulated balance wrongly, by 0.1 %, or puts it right. */
  'care.wrong': call(z.object({ on: z.boolean() }), CareView),
} as const;
