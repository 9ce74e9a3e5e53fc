import { z } from 'zod';
import { Mass } from './table-mass.ts';

/** What a window may ask about the care of a balance: profile, checks, history. Masses in g. */

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

const Words = z.string().trim().max(120);
const Above = z.string().regex(/^(?!0+(\.0+)?$)\d+(\.\d+)?$/, 'Write grams above zero, as 200 or 0.01.');
const WeightClass = z.enum(['E1', 'E2', 'F1', 'F2', 'M1', 'M2', 'M3']);
const Weights = z.object({ parts: z.array(Above).min(1).max(6), weightClass: WeightClass });

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
  c: Above.nullable(),
  warmUpMinutes: z.number().int().min(0).max(1440),
  /** A daily check is due again after so many hours. */
  dueHours: z.number().int().min(1).max(2000),
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
});

export const CARE_CALLS = {
  'care.view': call(Nothing, CareView),
  /** Keeps what a person says of the balance on the bench. */
  'care.keep': call(BalanceProfile, CareView),
} as const;
