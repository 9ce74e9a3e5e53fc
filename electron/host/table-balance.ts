import { z } from 'zod';

/** By what a balance is known again: vendor and product as hexadecimal, and the serial number where it has one. */
export const Device = z.object({
  vendorId: z.string(),
  productId: z.string(),
  serialNumber: z.string().optional(),
});

/** Units of mass that a display may show, by code. */
export const UNITS = [
  'g',
  'kg',
  'mg',
  'ct',
  'gr',
  'dwt',
  'ozt',
  'oz',
  'lb',
  'dr',
  'scr',
  'mom',
  'tola',
  'tael-hk',
  'tael-tw',
  'tael-cn',
] as const;

/** A way to a balance, as it is remembered. What was stored before a field came is read without it. */
export const BalanceChoice = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('simulated') }),
  z.object({
    kind: z.literal('serial'),
    path: z.string().min(1),
    /** Name of a line shape, or "recognise". */
    shape: z.string().min(1),
    /** Line settings as "9600 8N1". */
    line: z.string().min(1),
    /** Unit that the display shows, for balances whose lines do not carry it. */
    unit: z.enum(UNITS).optional(),
    /** The command it is asked with again and again; absent where it sends by itself. */
    ask: z.string().min(1).optional(),
    /** It sends one figure whenever its print key is pressed. */
    byKey: z.literal(true).optional(),
    device: Device.optional(),
  }),
  z.object({ kind: z.literal('usb'), path: z.string().min(1), device: Device }),
  z.object({ kind: z.literal('typed') }),
]);

/** A serial port of this machine; ids as far as the system tells them. */
export const Port = z.object({
  path: z.string(),
  label: z.string(),
  detail: z.string(),
  vendorId: z.string().optional(),
  productId: z.string().optional(),
  serialNumber: z.string().optional(),
});

/** A scale that reports by USB. */
export const Scale = z.object({
  path: z.string(),
  label: z.string(),
  detail: z.string(),
  vendorId: z.string(),
  productId: z.string(),
  serialNumber: z.string(),
});

export const Shape = z.object({
  name: z.string(),
  title: z.string(),
  /** A line as it looks; control bytes written as <STX>, <SOH>. */
  sample: z.string(),
  lines: z.array(z.string()),
  /** Its lines carry the unit; else the person says what the display shows. */
  unit: z.boolean(),
  /** Balances of it can be asked for their figure when they are silent. */
  asked: z.boolean(),
  /** The command that its balances are asked with on and on where they only answer; null where none is known. */
  ask: z.string().nullable(),
});

/** The shape that the person says the balance has; absent where they do not know. */
export const ShapeSaid = z.object({ shape: z.string().min(1).optional() });

/** One sending to a silent port: its bytes as a manual writes them, and the line settings it goes with. */
export const Question = z.object({ bytes: z.string(), line: z.string() });

/** What one port gave while the balance was looked for. */
export const Said = z.object({
  port: z.string(),
  path: z.string(),
  kind: z.enum(['silent', 'unknown', 'trouble']),
  what: z.string(),
  /** The end of what came, as text; null where nothing did. */
  heard: z.string().nullable(),
  next: z.string(),
});

/** How the looking for a balance stands. Looking is listening; only while "asking" something is sent. */
export const FindingView = z.object({
  state: z.enum(['idle', 'listening', 'asking', 'found', 'undecided', 'nothing', 'stopped']),
  /** The port listened at, or where it was found: label and path. */
  port: z.object({ label: z.string(), path: z.string() }).nullable(),
  /** Line settings listened with now, which of how many. */
  trying: z.object({ line: z.string(), number: z.number(), of: z.number() }).nullable(),
  /** It was listened while the print key is pressed. */
  byKey: z.boolean(),
  /** What is being sent, to a port that the person let be asked. */
  sending: Question.nullable(),
  /** What the person is asked to do, so that the next lines decide. */
  ask: z.string().nullable(),
  /** Line settings found. */
  line: z.string().nullable(),
  /** The shape found; several where nothing decided between them. */
  shapes: z.array(Shape),
  said: z.array(Said),
});

/** One bench at this machine: its balance, and the batch on it. */
export const BenchRow = z.object({
  id: z.string(),
  what: z.string(),
  link: z.enum(['none', 'opening', 'live', 'silent', 'lost']),
  /** The batch on it. */
  batch: z.object({ id: z.string(), name: z.string() }).nullable(),
  /** The lesson under way beside it, with its learner. */
  lesson: z.string().nullable(),
});

export type BenchRow = z.infer<typeof BenchRow>;
export type BalanceChoice = z.infer<typeof BalanceChoice>;
export type FindingView = z.infer<typeof FindingView>;
export type Shape = z.infer<typeof Shape>;
