import { z } from 'zod';
import { when } from '../documents/record-figures.ts';
import type { KeptCheck } from '../store/care.ts';

const Text = z.string();

const Taken = z.object({
  station: z.number(),
  label: Text,
  g: Text,
  at: z.number(),
  readings: z.number(),
  rule: Text,
  odd: Text.optional(),
  void: Text.optional(),
});

/** A check as it is kept whole: what was ordered, of which balance, all that was taken, and what came of it. */
export const CheckBody = z.object({
  order: z.looseObject({ kind: Text }),
  balance: z.object({
    d: Text,
    capacity: Text,
    e: Text.nullable(),
    balanceClass: z.enum(['I', 'II', 'III', 'IIII']).nullable(),
  }),
  name: Text,
  serial: Text,
  taken: z.array(Taken),
  /** Drift and drops: what was read after the last of them, ms since the first and g. */
  samples: z.array(z.tuple([z.number(), Text])),
  /** Null where the check was stopped before its end. */
  result: z
    .object({
      verdict: z.enum(['pass', 'doubtful', 'fail']),
      text: Text,
      rows: z.array(
        z.object({ label: Text, figure: Text, limit: Text.nullable(), ok: z.boolean().nullable() }),
      ),
      rules: z.array(Text),
      main: z.object({ what: Text, g: Text, low: Text.nullable(), high: Text.nullable() }),
      s: z.object({ g: Text, u: Text, n: z.number() }).optional(),
    })
    .nullable(),
});
export type CheckBody = z.infer<typeof CheckBody>;

/** Reads a kept check; null where what is stored is none: damaged, or of another version of the program. */
export function readCheck(kept: KeptCheck): CheckBody | null {
  try {
    return CheckBody.safeParse(JSON.parse(kept.body)).data ?? null;
  } catch (cause) {
    if (cause instanceof SyntaxError) return null;
    throw cause;
  }
}

/** What is told of a check without a result. */
export const stoppedText = ({ taken }: Pick<CheckBody, 'taken'>): string =>
  `Stopped after ${taken.length} ${taken.length === 1 ? 'figure' : 'figures'}.`;

/** What is told of a check that cannot be read, wherever it would have counted. */
export const unreadText = ({ n, at }: Pick<KeptCheck, 'n' | 'at'>): string =>
  `Check ${n} of ${when(at)} cannot be read: damaged, or of another version of the program. It is kept as it is and does not count.`;
