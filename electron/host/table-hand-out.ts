import { z } from 'zod';

/** What a window may ask about handing the workshop out, and about archives that come in. */

const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

const HandOut = z.object({
  what: z.enum(['organ', 'formulas', 'workshop']),
  /** The whole workshop is a zip, whatever is said here. */
  format: z.enum(['csv', 'json']),
  /** How numbers stand in CSV; absent, with a point. */
  decimal: z.enum(['point', 'comma']).optional(),
  /** Ids of the formulas; absent, all. */
  formulas: z.array(z.string()).max(2000).optional(),
});
const Choice = z.enum(['keep', 'take', 'both']);

export const ArchiveView = z.object({
  name: z.string(),
  called: z.enum(['archive', 'file']),
  /** When it was handed out; null where it does not say. */
  made: z.string().nullable(),
  summary: z.array(z.string()),
  /** What is here under the same identity and told otherwise. */
  items: z.array(
    z.object({ id: z.string(), name: z.string(), what: z.array(z.string()), choices: z.array(Choice) }),
  ),
  /** What cannot be taken, and why. */
  refused: z.array(z.string()),
});

export const HAND_OUT_CALLS = {
  'hand-out.document': call(HandOut, z.object({ name: z.string(), type: z.string(), base64: z.string() })),
  /** Asks for a place with the desktop's own dialog and writes there; only with the capability saveDialog. */
  'hand-out.save': call(HandOut, z.object({ path: z.string().nullable() })),
  /** Opens an archive, or the Organ or formulas as JSON, that was sent, and compares it with the workshop; takes nothing. */
  'archive.read': call(z.object({ file: z.string() }), ArchiveView),
  /** Takes an archive, all or nothing. What differs is kept as it is here, unless its id is given another choice. */
  'archive.take': call(
    z.object({ file: z.string(), choices: z.record(z.string(), Choice) }),
    z.object({ done: z.array(z.string()) }),
  ),
} as const;
