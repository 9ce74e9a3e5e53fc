import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import type { Formula, Lot, Material } from '../../core/formula/types.ts';
import type { StoredEvent } from '../../core/pour/events.ts';
import { fold } from '../../core/pour/evolve.ts';
import { netTotal } from '../../core/pour/state.ts';
import { decimal } from '../../core/quantity/decimal.ts';
import type { Batch } from '../host/bench-facts.ts';
import { exportFile, writeWhole } from '../host/documents/export.ts';
import { openDropBook } from '../host/drop-book.ts';
import { Bench } from '../host/session.ts';
import type { Store } from '../host/store/store.ts';
import { strengthOf } from '../host/strength.ts';
import { wordsOfLink } from './listen.ts';
import { type OnOverpour, Pilot } from './pilot.ts';
import type { PourLine } from './pour-line.ts';
import type { Rig } from './rig.ts';
import { type Talk, untilEnded } from './talk.ts';
import { fractionText, grams, linesOf, overpourLine, stepLine, withdrawLine } from './tell.ts';
import { Unfinished } from './unfinished.ts';

/** What is poured: a new batch of a formula, or the batch of the database that was interrupted last. */
export type What =
  | {
      readonly formula: Formula;
      readonly materials: readonly Material[];
      readonly lots: readonly Lot[];
      readonly operator: string;
    }
  | 'the interrupted one';

export interface BatchOrder {
  readonly what: What;
  readonly onOverpour: OnOverpour;
  readonly tared: boolean;
}

/** A balance that gives no weight for so long at the start is given up, ms. */
const FIRST_READING_MS = 15_000;

/** Resolves at the first weight. @throws Unfinished when none comes */
async function firstReading(bench: Bench, talk: Talk): Promise<void> {
  if (bench.live.reading !== null) return;
  const here = Promise.withResolvers<void>();
  const stop = bench.onView(() => {
    if (bench.live.reading !== null) here.resolve();
  });
  const timer = setTimeout(() => {
    const { link, message } = bench.live;
    const said = message ?? wordsOfLink(link);
    here.reject(
      new Unfinished(
        `No weight came from the balance in ${FIRST_READING_MS / 1000} s${said === null ? '' : `: ${said}`}`,
        bench.balance?.what ?? 'no balance',
        'Check with "listen" what it sends, and its line settings and line shape.',
      ),
    );
  }, FIRST_READING_MS);
  try {
    await Promise.race([here.promise, untilEnded(talk)]);
  } finally {
    clearTimeout(timer);
    stop();
  }
}

function tellTakenUp({ id, state }: Batch, emit: (line: PourLine) => void): void {
  emit({
    event: 'taken-up',
    batch: id,
    formula: state.facts.formula.name,
    phase: state.phase,
    gross_g: state.gross === null ? null : grams(state.gross),
  });
  if (state.inHand !== null) emit(stepLine(state));
  if (state.withdrawing !== null) emit(withdrawLine(state));
  const last = state.pours.at(-1);
  if (state.phase === 'over' && last !== undefined) emit(overpourLine(state, last.line));
}

function begin(bench: Bench, store: Store, what: What, emit: (line: PourLine) => void): void {
  if (what !== 'the interrupted one') {
    bench.start({ ...what, balance: { name: bench.balance?.what ?? '' } });
    return;
  }
  const [open] = store.catalog.open();
  if (open === undefined)
    throw new Unfinished(
      'No interrupted batch is in this database.',
      store.folder,
      'Start one with --formula, or name another folder with --out.',
    );
  bench.takeUp(open.id);
  if (bench.batch !== null) tellTakenUp(bench.batch, emit);
}

/**
 * Writes the record of the last batch again, when that one is closed: the program may have ended between the closing
 * event and its files. @returns whether it was
 */
export function rewriteRecord(store: Store, talk: Talk): boolean {
  const [last] = store.catalog.find({ limit: 1 }).rows;
  if (last?.status !== 'closed' || store.catalog.open().length > 0) return false;
  const state = fold(store.journal.events(last.id).map((one) => one.event));
  writeRecord({ id: last.id, name: last.name, state }, store, (line) => talk.emit(line));
  return true;
}

/** Writes the record of a closed batch into the folder of the database and tells the closing line. */
function writeRecord({ id, state }: Batch, store: Store, emit: (line: PourLine) => void): void {
  const path = (format: 'json' | 'csv') => {
    const file = join(store.folder, `as-made.${format}`);
    writeWhole(file, exportFile(store.journal, id, format).text);
    return file;
  };
  const { asMade, target } = strengthOf(state);
  emit({
    event: 'closed',
    batch: id,
    total_g: grams(netTotal(state)),
    strength: fractionText(asMade),
    strength_target: fractionText(target),
    closure_g: grams(state.closure ?? decimal('0')),
    record: path('json'),
    csv: path('csv'),
  });
}

/** Says once what the bench wants a person to know: the balance lost or silent, a record that cannot be written. */
function sayNotices(bench: Bench, talk: Talk): () => void {
  let last: string | null = null;
  return bench.onView((view) => {
    const notice = view.pour?.notice?.level === 'stop' ? view.pour.notice.text : null;
    if (notice !== null && notice !== last) talk.say(notice);
    last = notice;
  });
}

/**
 * Pours one batch by itself on the same bench as the window, telling each event as a line. The record is written
 * beside the database. What the talk's end leaves open stays interrupted and can be taken up.
 * @returns whether the batch was closed
 * @throws Unfinished, FormulaTrouble, StoreTrouble
 */
export async function runBatch(store: Store, rig: Rig, order: BatchOrder, talk: Talk): Promise<boolean> {
  const bench = new Bench({
    journal: store.journal,
    drops: openDropBook(store.workshop),
    now: () => Math.round(rig.now()),
    newId: randomUUID,
  });
  const emit = (line: PourLine): void => {
    talk.emit(line);
    rig.hear(line);
  };
  const unhear = [
    sayNotices(bench, talk),
    bench.onEvents((events: readonly StoredEvent[]) => {
      const state = bench.batch?.state;
      if (state !== undefined)
        for (const { event } of events) for (const line of linesOf(event, state)) emit(line);
    }),
  ];
  let pilot: Pilot | null = null;
  try {
    await bench.attach(rig.balance);
    await firstReading(bench, talk);
    if (talk.ended.aborted) return false;
    begin(bench, store, order.what, emit);
    pilot = new Pilot(bench, order, emit);
    await Promise.race([pilot.ended, untilEnded(talk)]);
    const { batch } = bench;
    if (batch?.state.phase !== 'closed') {
      if (batch !== null)
        talk.say(
          `"${batch.name}" is interrupted, not lost: take it up with pour --resume --out ${store.folder}`,
        );
      return false;
    }
    writeRecord(batch, store, emit);
    return true;
  } finally {
    pilot?.stop();
    for (const stop of unhear) stop();
    await bench.detach();
  }
}
