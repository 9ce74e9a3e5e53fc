import type { CheckedBalance } from '../../../core/weighing/check-rules.ts';
import { expectOrder } from '../../../core/weighing/check-steps.ts';
import type { Rooms } from '../rooms.ts';
import type { Bench } from '../session.ts';
import type { KeptCheck } from '../store/care.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble, sentence } from '../trouble.ts';
import { keepDraft, strikeDraft } from './drafts.ts';
import { readCheck, stoppedText, unreadText } from './kept.ts';
import { CareRun } from './run.ts';
import { runView, TITLES } from './run-view.ts';
import { type Known, knownOf } from './standing.ts';

/** The check of each bench: one at a time. It lasts as long as the program, and is stored when it ends. */
const runs = new WeakMap<Bench, CareRun>();

/** The balance as the rules judge it. */
export const checkedOf = ({ limits, profile }: Known): CheckedBalance => ({
  d: limits.d,
  capacity: limits.capacity,
  e: profile.e,
  balanceClass: profile.balanceClass,
});

function begin(rooms: Rooms, order: Input<'care.begin'>): CareRun {
  const { bench, store } = rooms;
  const known = knownOf(rooms);
  const refuse = (what: string, next: string): never => {
    throw new HostTrouble(what, 'Balance', next);
  };
  if (bench.live.link.kind !== 'live')
    refuse('No balance is live on this bench.', 'Choose one, or switch it on.');
  if (bench.batch !== null)
    refuse(`"${bench.batch.name}" is on this bench.`, 'Close it and leave the bench before a check.');
  if (runs.get(bench)?.under === true) refuse('A check is under way.', 'End it or stop it first.');
  const balance = checkedOf(known);
  try {
    expectOrder(order, balance);
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    refuse(sentence(cause.message), 'Choose another load or another number.');
  }
  const { identity, name, profile } = known;
  strikeDraft(store, rooms.id);
  const run = new CareRun(
    bench,
    { care: store.care, draft: (draft) => keepDraft(store, rooms.id, draft) },
    { profile: identity.id, name, serial: profile.serial, balance },
    order,
  );
  runs.set(bench, run);
  return run;
}

function does(bench: Bench, what: Input<'care.do'>['do']): CareRun | null {
  const run = runs.get(bench);
  if (run === undefined)
    throw new HostTrouble('No check is under way on this bench.', 'Balance', 'Begin one.');
  if (what === 'stop') run.stop();
  else if (what === 'keep') run.keep();
  else if (what === 'leave') {
    if (!run.under) runs.delete(bench);
  } else run.say(what);
  return runs.get(bench) ?? null;
}

/** A kept check as the history shows it. */
export function historyRow(kept: KeptCheck): Output<'care.history'>[number] {
  const { n, at, kind } = kept;
  const named = { n, at, kind, title: TITLES[kind] ?? kind };
  const body = readCheck(kept);
  if (body === null)
    return {
      ...named,
      verdict: 'unreadable',
      text: unreadText(kept),
      result: null,
      main: null,
      s: null,
      taken: [],
    };
  const { result, taken } = body;
  return {
    ...named,
    verdict: result?.verdict ?? 'stopped',
    text: result?.text ?? stoppedText(body),
    result:
      result === null
        ? null
        : { verdict: result.verdict, text: result.text, rows: result.rows, rules: result.rules },
    main: result?.main ?? null,
    s: result?.s ?? null,
    taken: taken.map(({ label, g, rule, odd, void: why }) => ({
      label,
      g,
      rule,
      odd: odd ?? null,
      void: why ?? null,
    })),
  };
}

/** Answers the calls about checks: guided ones, their history, and the weights of the simulated balance. */
export function checkHandlers(rooms: Rooms) {
  const { bench, balances, store } = rooms;
  const view = (run: CareRun | null): Output<'care.run'> => (run === null ? null : runView(run));
  return {
    'care.begin': (order: Input<'care.begin'>) => runView(begin(rooms, order)),
    'care.run': () => view(runs.get(bench) ?? null),
    'care.do': (asked: Input<'care.do'>) => view(does(bench, asked.do)),
    'care.history': () => {
      const run = runs.get(bench);
      if (run === undefined || (!run.under && run.unkept === null)) strikeDraft(store, rooms.id);
      return store.care.checks(knownOf(rooms).identity.id).map(historyRow);
    },
    'care.weight': ({ g, place = 'centre' }: Input<'care.weight'>) => {
      if (bench.batch !== null)
        throw new HostTrouble(
          `"${bench.batch.name}" stands on the pan.`,
          'Balance',
          'Close it and leave the bench before weights go on.',
        );
      balances.pipette().weight(g === null ? null : Number(g), place);
      return {};
    },
  };
}
