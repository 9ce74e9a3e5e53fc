import { z } from 'zod';

const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });
const Batch = z.object({ batch: z.string() });
const State = z.enum(['waits', 'due', 'noted', 'let go']);
/** A year of minutes. */
const Minute = z.number().int().min(1).max(525_600);

const NoteView = z.object({
  n: z.number().int(),
  at: z.string(),
  who: z.string(),
  text: z.string(),
  /** "blotter A, after 1 h"; empty where it is of the batch as such. */
  of: z.string(),
});

export const TrialView = z.object({
  batch: z.string(),
  name: z.string(),
  blotters: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      at: z.string(),
      times: z.array(
        z.object({ minute: z.number().int(), after: z.string(), due: z.string(), state: State }),
      ),
    }),
  ),
  matures: z.object({ on: z.string(), state: State }).nullable(),
  notes: z.array(NoteView),
});

export const DueView = z.object({
  batch: z.string(),
  name: z.string(),
  /** "smell blotter A, 1 h after dipping", or "has matured". */
  what: z.string(),
  /** When it fell or falls due. */
  at: z.string(),
});

/** What a window may ask about trials of finished batches. */
export const TRIAL_CALLS = {
  'trials.open': call(Batch, TrialView),
  /** A blotter was dipped: it is smelled so many minutes after. */
  'trials.dip': call(
    Batch.extend({
      name: z.string().trim().max(80),
      at: z.iso.datetime(),
      minutes: z.array(Minute).min(1).max(24),
    }),
    TrialView,
  ),
  /** The day on which the batch has matured; null takes it back. */
  'trials.mature': call(Batch.extend({ on: z.iso.date().nullable() }), TrialView),
  /** Adds a note, of a blotter at one of its times, of a blotter, or of the batch. */
  'trials.note': call(
    Batch.extend({
      who: z.string().trim().max(80),
      text: z.string().trim().max(4000),
      blotter: z.string().optional(),
      minute: Minute.optional(),
      matured: z.boolean().optional(),
    }),
    TrialView,
  ),
  /** A time is over without a note. */
  'trials.let-go': call(Batch.extend({ blotter: z.string(), minute: Minute }), TrialView),
  /** What is due now, and what comes next. */
  'trials.due': call(z.object({}), z.object({ due: z.array(DueView), next: z.array(DueView) })),
  /** Trials of all batches of a formula, the newest batch first. */
  'trials.of-formula': call(
    z.object({ id: z.string() }),
    z.array(
      z.object({
        batch: z.string(),
        name: z.string(),
        started: z.string(),
        n: z.number().int(),
        trial: TrialView,
      }),
    ),
  ),
} as const;
