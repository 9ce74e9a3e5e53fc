import { z } from 'zod';
import { DocumentFile } from './table-documents.ts';

/** What a window may ask about labels and the codes on them. Lengths in mm, sizes of writing in points. */

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

const Size = z.object({ width: z.number(), height: z.number() });
export const LabelLayout = z.object({
  id: z.string().min(1).max(60),
  name: z.string().trim().min(1).max(80),
  shape: z.enum(['rectangle', 'round']),
  page: Size,
  label: Size,
  rows: z.number(),
  columns: z.number(),
  top: z.number(),
  left: z.number(),
  gapX: z.number(),
  gapY: z.number(),
});

/** One kind of label: whether it is wanted, by which layout, from which place of the first page, how often each. */
const Wanted = z.object({
  on: z.boolean(),
  layout: z.string(),
  start: z.number().int().min(1).max(3600),
  copies: z.number().int().min(1).max(100),
});

export const LabelSettings = z.object({
  /** The workshop's name as it stands on labels. */
  maker: z.string().trim().max(60),
  code: z.enum(['qr', 'data-matrix']),
  bottle: Wanted,
  lid: Wanted.extend({ diameter: z.number().min(12).max(25) }),
  /** Draws the edge of each label, to cut by. */
  outline: z.boolean(),
  own: z.array(LabelLayout).max(50),
});

const Codes = z.array(z.string().min(1).max(60)).min(1).max(200);
const Which = z.enum(['bottle', 'lid']);

export const SettingsView = z.object({
  settings: LabelSettings,
  /** What there is to choose among, one's own last. */
  layouts: z.object({ bottle: z.array(LabelLayout), lid: z.array(LabelLayout) }),
});

const Square = z.object({ x: z.number(), y: z.number(), side: z.number() });
export const LabelSheet = z.object({
  which: Which,
  /** From 1, of how many of its kind. */
  no: z.number(),
  of: z.number(),
  page: Size,
  label: Size,
  round: z.boolean(),
  outline: z.boolean(),
  ruler: z.object({ x: z.number(), y: z.number(), length: z.number() }).nullable(),
  /** Every place of the page; `lot` is the lot whose label is printed there. */
  places: z.array(
    z.object({
      /** Its number on this page, from 1. */
      n: z.number(),
      x: z.number(),
      y: z.number(),
      lot: z.string().nullable(),
    }),
  ),
});

/** One label, as it is laid out; places name it by its lot and kind. */
export const LaidLabel = z.object({
  lot: z.string(),
  which: Which,
  /** Baselines and left ends from the label's upper left corner. */
  lines: z.array(
    z.object({
      text: z.string(),
      x: z.number(),
      y: z.number(),
      width: z.number(),
      size: z.number(),
      face: z.enum(['text', 'strong', 'title']),
    }),
  ),
  /** The code to scan: `path` fills its dark squares in units of which `across` make its side. */
  code: Square.extend({ across: z.number(), path: z.string() }).nullable(),
  fits: z.boolean(),
});

export const LabelPreview = z.object({
  labels: z.array(LaidLabel),
  sheets: z.array(LabelSheet),
  /** Sheets beyond those shown. */
  more: z.number(),
  count: z.number(),
  /** What does not fit or cannot be printed as it is written, each of one label. */
  told: z.array(z.object({ lot: z.string(), which: Which, text: z.string() })),
});

const LabelsAsk = z.object({
  lots: Codes,
  /** The labels, or the outlines of every place with a line to measure. */
  what: z.enum(['labels', 'test-page']).default('labels'),
});

export const LABEL_CALLS = {
  'labels.settings': call(Nothing, SettingsView),
  /** Keeps settings and own layouts. */
  'labels.keep': call(LabelSettings, SettingsView),
  /** Lots to choose among, by words in code or name. */
  'labels.lots': call(
    z.object({ words: z.string().max(200) }),
    z.object({
      lots: z.array(z.object({ code: z.string(), name: z.string(), strength: z.string() })),
      more: z.number(),
    }),
  ),
  /** The labels as they will be printed by the settings kept. */
  'labels.preview': call(z.object({ lots: Codes }), LabelPreview),
  'labels.document': call(LabelsAsk, DocumentFile),
  /** Asks for a place with the desktop's own dialog and writes there; only with the capability saveDialog. */
  'labels.document-save': call(LabelsAsk, z.object({ path: z.string().nullable() })),
  /** Hands the same PDF to what prints it: an address to open in a browser, or the desktop's own viewer. */
  'labels.print': call(LabelsAsk, z.object({ address: z.string().nullable(), told: z.string() })),
  /** What a scanned text names, anywhere in the program: a bottle, a record, or nothing that is known here. */
  'codes.read': call(
    z.object({ text: z.string().max(1000) }),
    z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('lot'), code: z.string() }),
      /** `unchanged`: the record is still the one that the code was printed from. */
      z.object({ kind: z.literal('record'), batch: z.string(), unchanged: z.boolean() }),
      z.object({ kind: z.literal('unknown'), what: z.string(), next: z.string() }),
    ]),
  ),
} as const;
