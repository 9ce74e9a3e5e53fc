import { z } from 'zod';
import * as balances from './table-balance.ts';
import { CARE_CALLS } from './table-care.ts';
import { DOCUMENT_CALLS } from './table-documents.ts';
import { EXCHANGE_CALLS } from './table-exchange.ts';
import { FORMULA_CALLS } from './table-formulas.ts';
import { LABEL_CALLS } from './table-labels.ts';
import { Mass } from './table-mass.ts';
import { ORGAN_CALLS } from './table-organ.ts';
import * as plans from './table-plans.ts';
import { PRACTICE_CALLS } from './table-practice.ts';
import * as records from './table-records.ts';
import { SHEET_CALLS } from './table-sheet.ts';

/**
 * What a window may ask of the host: one typed table, the same for every window.
 * A window sends a name and an input; the host answers with the output or an error {what, where, next}.
 * Masses are grams as plain decimal text.
 */

/** An error as shown: what went wrong, where, and what to do next. */
export const Trouble = z.object({ what: z.string(), where: z.string().nullable(), next: z.string() });

export const LiveView = z.object({
  link: z.enum(['none', 'opening', 'live', 'silent', 'lost']),
  /** What the balance is reached by, and what to say about it. */
  what: z.string(),
  message: z.string().nullable(),
  /** The balance's own figure and unit, as its display shows it. */
  figure: z.string().nullable(),
  unit: z.string(),
  /** The same in grams. */
  g: Mass.nullable(),
  moving: z.boolean(),
  /** Figures are typed on Pour: there is no stream. */
  typed: z.boolean(),
  /** The balance sends a figure only when its print key is pressed. */
  printed: z.boolean(),
  range: z.enum(['inside', 'over', 'under']),
  at: z.number(),
});

export const LadderRung = z.object({
  line: z.string(),
  title: z.string(),
  sub: z.string(),
  figure: Mass.nullable(),
  place: z.enum(['done', 'now', 'next']),
  mark: z.enum(['none', 'inside', 'over', 'under', 'kept', 'skipped']),
  topUp: z.boolean(),
});

export const NowStep = z.object({
  line: z.string(),
  title: z.string(),
  lot: z.string(),
  note: z.string().nullable(),
  family: z.string(),
  neat: z.boolean(),
  topUp: z.boolean(),
  /** Added by a person without a target: it has no window to be led to. */
  free: z.boolean().optional(),
  /** Of this pour: target and window of what is to be added now. */
  target: Mass,
  low: Mass,
  high: Mass,
  /** Mean mass of a drop of this lot, and its standard uncertainty. */
  drop: Mass,
  dropU: Mass,
  poured: Mass,
  /** Target less poured; negative when past it. */
  toGo: Mass,
  /** Whole drops still to go, where a drop is large enough to count; else null. */
  drops: z.number().nullable(),
  cautions: z.array(z.string()),
});

/** Every way to go on from a line past its window. */
const ChoiceKind = z.enum([
  'least',
  'exact',
  'keep',
  'withdraw-unmixed',
  'withdraw-least',
  'withdraw-exact',
  'bottle-least',
  'bottle-exact',
  'again',
]);

export const ChoiceView = z.object({
  kind: ChoiceKind,
  title: z.string(),
  headline: z.string(),
  points: z.array(z.string()),
  /** Keys that take it, "1" first. */
  key: z.string(),
  possible: z.boolean(),
  why: z.string().nullable(),
  /** Every line that ends at another mass than was planned, by how much, g. */
  lines: z.array(z.object({ title: z.string(), extra: Mass })).optional(),
});

export const ActionView = z.object({
  do: z.enum([
    'confirm-vessel',
    'confirm-bottle',
    'settle',
    'accept-under',
    'choose',
    'pause',
    'resume',
    'void',
    'skip',
    'close',
    'abandon',
    /** The vessel that seems off stands on the pan: its display was zeroed. */
    'was-zeroed',
    /** What rose since the last capture is the next bottle, poured before it was said. */
    'was-next',
    /** Nothing was poured while the gross changed: it is read anew. */
    're-read',
    /** Closing check: takes the closing values; then the vessel is lifted. */
    'weigh-off',
    /** Skips what is left, with a reason, and goes on to closing. */
    'end-early',
    /** Adds a line that the plan does not have: wants `lot`, the code of a lot of the organ, and a reason. */
    'add-line',
    /** Cautions were heeded: `caution` is the key of one; absent, all that are due, or the first where each is required. */
    'heed',
  ]),
  choice: ChoiceKind.optional(),
  label: z.string(),
  key: z.string(),
  primary: z.boolean(),
  /** The action wants a reason typed. */
  reason: z.boolean(),
  /** What comes of it, told where the reason is asked. */
  means: z.string().optional(),
  enabled: z.boolean(),
});

export const PourView = z.object({
  batch: z.string(),
  name: z.string(),
  formula: z.string(),
  total: Mass,
  phase: z.enum(['vessel', 'bottle', 'pouring', 'over', 'withdrawing', 'closing', 'closed', 'abandoned']),
  /** The word of the moment: "to go", "settled", "inside", "over", "paused", … */
  word: z.string(),
  paused: z.boolean(),
  /** Drawn hollow while the reading moves, solid once settled. */
  solid: z.boolean(),
  /** Which way the present pour lies, by shape and word before colour. */
  state: z.enum(['approach', 'inside', 'over', 'none']),
  /** The large figure and what it counts. */
  figure: z.string(),
  figureUnit: z.string(),
  hint: z.string(),
  /** What the hand does now, while a line is poured; for sounds and the hint. */
  cue: z.enum(['stream', 'slow', 'pause', 'count', 'touch-off', 'stop']).nullable(),
  /** Where this pour will settle, as a faint mark: never a recorded value. */
  willSettle: z.object({ poured: Mass, toGo: Mass, band: Mass }).nullable(),
  notice: z.object({ level: z.enum(['info', 'caution', 'stop']), text: z.string() }).nullable(),
  /** Pipettes whose drops are kept apart; the first is in use. */
  pipettes: z.array(z.string()).optional(),
  ladder: z.array(LadderRung),
  /** The line in hand, or the one just captured. */
  now: NowStep.nullable(),
  /** The bottle to fetch next; null while one is in hand or none is left. */
  next: z
    .object({
      title: z.string(),
      lot: z.string(),
      note: z.string().nullable(),
      family: z.string(),
      target: Mass,
      topUp: z.boolean(),
      cautions: z.array(z.string()),
    })
    .nullable(),
  /** Cautions that the next bottle asks for and nobody has heeded yet; each once in a batch. `heed` takes `key`. */
  cautions: z.array(z.object({ key: z.string(), text: z.string() })).optional(),
  /** A teacher requires them: until they are heeded the bottle cannot be confirmed. */
  cautionsRequired: z.boolean().optional(),
  /** Values of the closing check once they are taken; `pan` is null until the vessel was lifted. Masses in g. */
  check: z
    .object({
      closure: Mass,
      limit: Mass,
      passes: z.boolean(),
      pan: z.object({ read: Mass, expected: Mass, passes: z.boolean() }).nullable(),
    })
    .nullable()
    .optional(),
  choices: z.array(ChoiceView),
  actions: z.array(ActionView),
  /** Once closed: strength as made and target in per cent, and closure in g. */
  result: z.object({ strength: z.string(), target: z.string(), closure: Mass, total: Mass }).nullable(),
});

export const BenchView = z.object({
  live: LiveView,
  pour: PourView.nullable(),
  /** The batch on the bench that the program fails to show, and why; `pour` is then null. */
  unshown: z.object({ batch: z.string(), name: z.string(), why: z.string() }).optional(),
  /** Which of the benches; the host puts it to every view it gives out. */
  bench: z.string().optional(),
});

export const CautionRule = z.object({ rule: z.enum(['shown', 'required']) });

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/**
 * Every input may name a bench besides, `bench: "2"`; without it the first is meant. It is taken off before the input
 * is read.
 */
export const TABLE = {
  /** The benches of this machine, each with its own balance and batch. */
  'benches.list': call(Nothing, z.array(balances.BenchRow)),
  'benches.add': call(Nothing, z.array(balances.BenchRow)),
  /** Takes a bench away that has no batch on it. */
  'benches.remove': call(z.object({ id: z.string() }), z.array(balances.BenchRow)),
  /** What this host can do beyond every window: file dialogs and menus of the desktop. */
  'app.capabilities': call(
    Nothing,
    z.object({ version: z.string(), saveDialog: z.boolean(), menu: z.boolean(), data: z.string() }),
  ),
  'balance.ports': call(Nothing, z.array(balances.Port)),
  /** USB scales; asked for only when the person wants one. */
  'balance.scales': call(Nothing, z.array(balances.Scale)),
  'balance.shapes': call(Nothing, z.array(balances.Shape)),
  'balance.chosen': call(Nothing, balances.BalanceChoice.nullable()),
  'balance.choose': call(balances.BalanceChoice, LiveView),
  /** Looks for a balance by listening, at one port or at all; what is found is taken. */
  'balance.find': call(
    z.object({
      path: z.string().min(1).optional(),
      /** Listens with patience while the person presses the print key. */
      byKey: z.literal(true).optional(),
    }),
    balances.FindingView,
  ),
  /** What would be sent to a silent port, for the person to agree to. */
  'balance.questions': call(balances.ShapeSaid, z.array(balances.Question)),
  /** The person agrees: exactly these questions are put to that silent port. */
  'balance.ask': call(balances.ShapeSaid.extend({ path: z.string().min(1) }), balances.FindingView),
  'balance.finding': call(Nothing, balances.FindingView),
  'balance.stop-finding': call(Nothing, balances.FindingView),
  /** Enters what the display shows, where figures are typed. */
  'balance.type': call(z.object({ text: z.string().max(40) }), BenchView),
  'balance.press': call(z.object({ key: z.enum(['tare', 'zero']) }), Nothing),
  /** The simulated balance's own controls: pipette and vessel. */
  'pipette.drop': call(z.object({ count: z.number().int().min(1).max(20) }), Nothing),
  'pipette.squeeze': call(z.object({ on: z.boolean() }), Nothing),
  'pipette.vessel': call(z.object({ on: z.boolean() }), Nothing),
  'bench.view': call(Nothing, BenchView),
  /** Whether cautions are only shown or must be heeded before their bottle, in all later batches of this machine. */
  'cautions.rule': call(Nothing, CautionRule),
  'cautions.choose': call(CautionRule, CautionRule),
  'pour.start': call(
    plans.Draft.extend({
      operator: z.string().max(80).optional(),
      /** Otherwise than the rule of this machine. */
      cautions: CautionRule.shape.rule.optional(),
    }),
    BenchView,
  ),
  /** Takes up an interrupted batch again. */
  'pour.take-up': call(z.object({ batch: z.string() }), BenchView),
  'pour.do': call(
    z.object({
      do: ActionView.shape.do,
      choice: ChoiceKind.optional(),
      lot: z.string().optional(),
      /** Key of a caution, with `heed`. */
      caution: z.string().max(300).optional(),
      reason: z.string().max(500).optional(),
    }),
    BenchView,
  ),
  /** So many drops fell between the last two readings at rest: their mass is learnt for the lot in hand. */
  'pour.drops': call(z.object({ count: z.number().int().min(1).max(200) }), BenchView),
  /** Names the pipette in use on this bench: what is learnt of drops is learnt of it. */
  'pour.pipette': call(z.object({ name: z.string().trim().min(1).max(40) }), BenchView),
  /** Leaves a closed batch, so that the bench is free. */
  'pour.leave': call(Nothing, BenchView),
  'records.open': call(z.object({ batch: z.string() }), records.RecordView),
  'records.shelf': call(z.object({ batch: z.string() }), plans.ShelfOffer),
  /** Puts a closed batch on the shelf as a lot; answers with the draft that waited for it. */
  'records.shelve': call(
    z.object({
      batch: z.string(),
      code: z.string().trim().min(1).max(24),
      name: z.string().trim().min(1).max(80),
    }),
    z.object({ back: plans.Draft.nullable() }),
  ),
  'records.declaration': call(
    z.object({ batch: z.string(), use: z.enum(['leave-on', 'rinse-off']), dose: Mass }),
    records.DeclarationView,
  ),
  ...SHEET_CALLS,
  ...DOCUMENT_CALLS,
  ...ORGAN_CALLS,
  ...FORMULA_CALLS,
  ...EXCHANGE_CALLS,
  ...LABEL_CALLS,
  ...CARE_CALLS,
  ...PRACTICE_CALLS,
} as const;

export type Table = typeof TABLE;
export type CallName = keyof Table;
export type Input<K extends CallName> = z.input<Table[K]['input']>;
export type Output<K extends CallName> = z.output<Table[K]['output']>;
export type Trouble = z.infer<typeof Trouble>;
export type BalanceChoice = balances.BalanceChoice;
export type FindingView = balances.FindingView;
export type BenchRow = balances.BenchRow;
export type LiveView = z.infer<typeof LiveView>;
export type PourView = z.infer<typeof PourView>;
export type BenchView = z.infer<typeof BenchView>;
export type ActionView = z.infer<typeof ActionView>;
export type ChoiceView = z.infer<typeof ChoiceView>;
export type LadderRung = z.infer<typeof LadderRung>;
export type NowStep = z.infer<typeof NowStep>;
export type ShelfView = z.infer<typeof plans.ShelfView>;
export type FormulaView = z.infer<typeof plans.FormulaView>;
export type BatchSize = z.infer<typeof plans.BatchSize>;
export type Draft = z.infer<typeof plans.Draft>;
export type ShelfOffer = z.infer<typeof plans.ShelfOffer>;
export type DeclarationView = z.infer<typeof records.DeclarationView>;
export type PlanView = z.infer<typeof plans.PlanView>;
export type RecordView = z.infer<typeof records.RecordView>;

/** The reply to one call. */
export type Reply<K extends CallName> = { ok: true; value: Output<K> } | { ok: false; trouble: Trouble };

/** What the window holds to reach its host; preload and loopback both provide it. */
export interface HostBridge {
  /** `bench` goes with the input; the first bench is meant where it is absent. */
  call<K extends CallName>(name: K, input: Input<K>, bench?: string): Promise<Reply<K>>;
  /** Hears every new view of the bench; the returned function stops it. */
  onBench(listener: (view: BenchView) => void): () => void;
}
