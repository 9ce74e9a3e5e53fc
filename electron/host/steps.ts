import { plan } from '../../core/formula/plan.ts';
import { begunAgain } from '../../core/pour/again.ts';
import { type PourCommand, PourRefusal } from '../../core/pour/commands.ts';
import { decide } from '../../core/pour/decide.ts';
import type { PourEvent, StoredEvent } from '../../core/pour/events.ts';
import { evolve, fold } from '../../core/pour/evolve.ts';
import { netTotal, type PourState } from '../../core/pour/state.ts';
import { plain } from '../../core/quantity/decimal.ts';
import type { Reading } from '../../core/weighing/reading.ts';
import type { Batch, StartOrder } from './bench-facts.ts';
import { limitsFor } from './limits.ts';
import { shelfBeside } from './shelf-beside.ts';
import type { Beside, Journal } from './store/journal.ts';
import { keepsTrace } from './store/trace-pack.ts';
import { StoreTrouble } from './store/trouble.ts';

/** One step of a batch, on disk: how it stands now, and how it stood before; null at its beginning. */
export interface Step {
  readonly batch: Batch;
  readonly stored: readonly StoredEvent[];
  readonly before: PourState | null;
}

/** Where a step is stored, and when. */
export interface StepPlace {
  readonly journal: Journal;
  /** RFC 3339. */
  readonly at: string;
}

/** What a batch is begun on. */
export interface Beginning {
  readonly id: string;
  /** How the balance is reached, and its reading of this moment. */
  readonly link: string;
  readonly reading: Reading | null;
}

/** Plans a batch and stores its beginning. @throws FormulaTrouble when it cannot be planned; StoreTrouble */
export function beginBatch(order: StartOrder, { id, link, reading }: Beginning, place: StepPlace): Step {
  const limits = order.planned?.limits ?? limitsFor(reading);
  const made = order.planned?.plan ?? plan(order.formula, order.materials, order.lots, limits);
  const used = new Set(made.steps.map((step) => step.lot));
  const event: PourEvent = {
    type: 'started',
    operator: order.operator,
    balance: { ...order.balance, link, limits },
    formula: order.formula,
    plan: made,
    materials: order.materials,
    lots: order.lots.filter((lot) => used.has(lot.code)),
    ...shelfBeside(order, used, place.at),
    ...(order.cautions === undefined ? {} : { cautions: order.cautions }),
  };
  const { name } = order.formula;
  const stored = place.journal.begin({ id, name, at: place.at }, [event]);
  return { batch: { id, name, state: fold([event]) }, stored, before: null };
}

/**
 * Decide, store, evolve: what follows from a command, once it is on disk. No step where nothing follows; two where the
 * batch ends and another begins it anew.
 * @param trace readings since the pour in hand began that are not stored yet
 * @throws PourRefusal when the command does not fit; StoreTrouble when it cannot be stored: then the batch stands as it was
 */
export function takeStep(
  batch: Batch,
  command: PourCommand,
  trace: readonly Reading[],
  place: StepPlace,
): readonly Step[] {
  const before = batch.state;
  const events = decide(before, command);
  if (events.length === 0) return [];
  const state = events.reduce<PourState>(evolve, before);
  const next = events.flatMap((event) => (event.type === 'abandoned' ? (event.followedBy ?? []) : []))[0];
  if (next !== undefined) return succeeded({ ...batch, state }, before, events, next, place);
  const { journal, at } = place;
  const stored = journal.append(batch.id, at, events, besideOf(events, state, trace));
  return [{ batch: { ...batch, state }, stored, before }];
}

/** The batch ends, and the one that begins it anew is on the bench. */
function succeeded(
  batch: Batch,
  before: PourState,
  events: readonly PourEvent[],
  id: string,
  { journal, at }: StepPlace,
): readonly Step[] {
  const first = begunAgain(before, batch.id);
  const { name } = batch;
  const { ended, begun } = journal.succeed(
    { batch: batch.id, at, events },
    { id, name, at, events: [first] },
  );
  return [
    { batch, stored: ended, before },
    { batch: { id, name, state: fold([first]) }, stored: begun, before: null },
  ];
}

function besideOf(events: readonly PourEvent[], state: PourState, trace: readonly Reading[]): Beside {
  if (events.some((event) => event.type === 'closed')) return { total: plain(netTotal(state)) };
  const first = trace[0];
  if (first === undefined || !events.some(keepsTrace)) return {};
  const start = new Date(first.at).toISOString();
  return { trace: { start, readings: trace.map((one) => [one.at - first.at, one.g] as const) } };
}

/** What to say of a command from the balance that failed: the store, the rules of the pour, or the program itself. */
export function failureText(cause: unknown): string {
  if (cause instanceof StoreTrouble)
    return `The record cannot be written: ${cause.message} ${cause.next} Nothing more is captured until it can.`;
  if (cause instanceof PourRefusal) return `${cause.message} ${cause.next}`;
  const what = cause instanceof Error ? `${cause.name}: ${cause.message}` : String(cause);
  return `The program went wrong over this reading (${what}). That is a fault of the program, not of the balance or the record: what was captured before is stored. Note the figure, and take the batch up again after a restart.`;
}
