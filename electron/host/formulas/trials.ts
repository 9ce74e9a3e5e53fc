import { randomUUID } from 'node:crypto';
import type { z } from 'zod';
import {
  afterText,
  maturing,
  type Reminder,
  remindersOf,
  type TrialNote,
} from '../../../core/record/trial.ts';
import type { Store } from '../store/store.ts';
import type { StoredNote } from '../store/trials.ts';
import type { Input } from '../table.ts';
import type * as table from '../table-trials.ts';
import { HostTrouble } from '../trouble.ts';

type TrialView = z.infer<typeof table.TrialView>;
type DueView = z.infer<typeof table.DueView>;
type Kept = Pick<Store, 'trials' | 'catalog' | 'versions'>;

/** How many that come next are told. */
const NEXT = 20;
/** A clock that is a little fast is no blotter dipped tomorrow. */
const AHEAD_MS = 120_000;

const dayOf = (ms: number): string => new Date(ms).toISOString().slice(0, 10);
const called = (name: string, at: number): string => (name === '' ? `blotter ${at + 1}` : `blotter ${name}`);

/** A closed batch. @throws HostTrouble when there is none, or it is not closed */
function closed({ catalog }: Kept, batch: string) {
  const row = catalog.row(batch);
  if (row === null)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  if (row.status !== 'closed')
    throw new HostTrouble(
      'This batch is not closed.',
      'Records',
      'Close it first; then blotters are dipped.',
    );
  return row;
}

function noteView(note: StoredNote, names: ReadonlyMap<string, string>): TrialView['notes'][number] {
  const { n, at, who, text, of, matured } = note;
  const blotter = of === null ? '' : (names.get(of.blotter) ?? 'a blotter');
  const after = of === null || of.minute === null ? '' : `, after ${afterText(of.minute)}`;
  return { n, at, who, text, of: matured ? 'when matured' : `${blotter}${after}` };
}

/** The trial of a batch as shown. @param now ms since 1970 */
export function trialView({ trials, catalog }: Kept, batch: string, now: number): TrialView {
  const trial = trials.trial(batch);
  const notes = trials.notes(batch);
  const times = remindersOf(trial, notes, now);
  const state = maturing(trial, notes, dayOf(now));
  const names = new Map(trial.blotters.map((one, at) => [one.id, called(one.name, at)]));
  return {
    batch,
    name: catalog.row(batch)?.name ?? batch,
    blotters: trial.blotters.map(({ id, at }) => ({
      id,
      name: names.get(id) ?? '',
      at,
      times: times
        .filter((one) => one.blotter.id === id)
        .map(({ minute, due, state: stands }) => ({ minute, after: afterText(minute), due, state: stands })),
    })),
    matures: trial.matures === null || state === null ? null : { on: trial.matures, state },
    notes: notes.map((note) => noteView(note, names)),
  };
}

function dip(store: Kept, { batch, name, at, minutes }: Input<'trials.dip'>, now: number): void {
  const row = closed(store, batch);
  const dipped = new Date(at);
  if (dipped.getTime() > now + AHEAD_MS)
    throw new HostTrouble(
      'This blotter would be dipped in the future.',
      'at',
      'Give the time it was dipped.',
    );
  if (dipped.toISOString() < row.started)
    throw new HostTrouble(
      'This blotter would be dipped before the batch was begun.',
      'at',
      'Give the time it was dipped.',
    );
  const trial = store.trials.trial(batch);
  const sorted = [...new Set(minutes)].sort((a, b) => a - b);
  const blotter = { id: randomUUID(), name: name.trim(), at: dipped.toISOString(), minutes: sorted };
  store.trials.put(batch, { ...trial, blotters: [...trial.blotters, blotter] });
}

function note(store: Kept, input: Input<'trials.note'>, now: number): void {
  const { batch, blotter, minute, matured } = input;
  closed(store, batch);
  const [who, text] = [input.who.trim(), input.text.trim()];
  if (text === '') throw new HostTrouble('The note is empty.', 'text', 'Write what you smell.');
  if (who === '') throw new HostTrouble('Nobody is named.', 'who', 'Write who smelled it.');
  const known = store.trials.trial(batch).blotters.find((one) => one.id === blotter);
  if (blotter !== undefined && known === undefined)
    throw new HostTrouble('This blotter is not there.', 'blotter', 'Choose one of the list.');
  const of: TrialNote['of'] = blotter === undefined ? null : { blotter, minute: minute ?? null };
  store.trials.note(batch, new Date(now).toISOString(), { who, text, of, matured: matured === true });
}

const dueView = (batch: string, name: string, what: string, at: string): DueView => ({
  batch,
  name,
  what,
  at,
});

/** What is due of all batches, the longest first, and what comes next. */
export function dueViews({ trials, catalog }: Kept, now: number): { due: DueView[]; next: DueView[] } {
  const due: DueView[] = [];
  const next: DueView[] = [];
  for (const { batch, trial } of trials.batches()) {
    const notes = trials.notes(batch);
    const name = catalog.row(batch)?.name ?? batch;
    const names = new Map(trial.blotters.map((one, at) => [one.id, called(one.name, at)]));
    const put = (state: string, view: DueView): void => {
      if (state === 'due') due.push(view);
      else if (state === 'waits') next.push(view);
    };
    const what = ({ blotter, minute }: Reminder): string =>
      `smell ${names.get(blotter.id) ?? 'a blotter'}, ${afterText(minute)} after dipping`;
    for (const one of remindersOf(trial, notes, now))
      put(one.state, dueView(batch, name, what(one), one.due));
    const state = maturing(trial, notes, dayOf(now));
    if (state !== null && trial.matures !== null)
      put(state, dueView(batch, name, state === 'due' ? 'has matured' : 'will have matured', trial.matures));
  }
  const byTime = (a: DueView, b: DueView): number => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0);
  return { due: due.sort(byTime), next: next.sort(byTime).slice(0, NEXT) };
}

/** Answers the calls about trials. @param clock ms since 1970 */
export function trialHandlers(store: Kept, clock: () => number) {
  const after = (batch: string, act: (now: number) => void): TrialView => {
    const now = clock();
    act(now);
    return trialView(store, batch, now);
  };
  return {
    'trials.open': ({ batch }: Input<'trials.open'>) => trialView(store, batch, clock()),
    'trials.dip': (input: Input<'trials.dip'>) => after(input.batch, (now) => dip(store, input, now)),
    'trials.mature': ({ batch, on }: Input<'trials.mature'>) =>
      after(batch, () => {
        closed(store, batch);
        store.trials.put(batch, { ...store.trials.trial(batch), matures: on });
      }),
    'trials.note': (input: Input<'trials.note'>) => after(input.batch, (now) => note(store, input, now)),
    'trials.let-go': ({ batch, blotter, minute }: Input<'trials.let-go'>) =>
      after(batch, () => {
        closed(store, batch);
        const trial = store.trials.trial(batch);
        store.trials.put(batch, { ...trial, letGo: [...trial.letGo, { blotter, minute }] });
      }),
    'trials.due': () => dueViews(store, clock()),
    'trials.of-formula': ({ id }: Input<'trials.of-formula'>) =>
      store.versions.batchesOf(id).flatMap(({ batch, name, started, n, status }) => {
        if (status !== 'closed') return [];
        const trial = trialView(store, batch, clock());
        const empty = trial.blotters.length === 0 && trial.matures === null && trial.notes.length === 0;
        return empty ? [] : [{ batch, name, started, n, trial }];
      }),
  };
}
