import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import { ask, askReply, connection } from './host.ts';
import { latest } from './latest.ts';

export type Trial = Output<'trials.open'>;
export type Due = Output<'trials.due'>;
export type TrialOfFormula = Output<'trials.of-formula'>[number];

/** The trial of the record that is open. */
export const trial = signal<Trial | null>(null);
/** What is due of all batches, and what comes next. */
export const due = signal<Due>({ due: [], next: [] });
/** Trials of the formula that is open, by its id. */
export const trialsOf = signal<{ readonly id: string; readonly all: readonly TrialOfFormula[] } | null>(null);
/** Why something was not stored, with what it was. */
export const trialTrouble = signal<{ readonly doing: string; readonly trouble: Trouble } | null>(null);

/** How often it is asked what is due, in ms. */
const EVERY_MS = 20_000;

export async function fetchDue(): Promise<void> {
  if (connection.value !== 'open') return;
  const reply = await askReply('trials.due', {});
  if (reply.ok) due.value = reply.value;
}

/** Goes on asking what is due. @returns what stops it */
export function watchDue(): () => void {
  void fetchDue();
  const timer = setInterval(() => void fetchDue(), EVERY_MS);
  return () => clearInterval(timer);
}

const opening = latest();
const openingAll = latest();

/** Opens the trial of a record; of several asked for one after the other, the last. */
export async function openTrial(batch: string): Promise<void> {
  const wantedStill = opening();
  if (trial.value?.batch !== batch) {
    trial.value = null;
    trialTrouble.value = null;
  }
  const told = await ask('trials.open', { batch });
  if (told !== null && wantedStill()) trial.value = told;
}

export async function fetchTrialsOf(id: string): Promise<void> {
  const wantedStill = openingAll();
  const all = await ask('trials.of-formula', { id });
  if (all !== null && wantedStill()) trialsOf.value = { id, all };
}

type Doing = 'dip' | 'note' | 'mature' | 'let go';
type Answer = Promise<{ ok: true; value: Trial } | { ok: false; trouble: Trouble }>;

/** Takes the answer of something stored. @returns whether it was stored; what is refused stays in its form */
async function stored(doing: Doing, answer: Answer): Promise<boolean> {
  const reply = await answer;
  trialTrouble.value = reply.ok ? null : { doing, trouble: reply.trouble };
  if (reply.ok && trial.value?.batch === reply.value.batch) trial.value = reply.value;
  await fetchDue();
  return reply.ok;
}

/** Minutes of times as typed: "15 min, 1 h, 4 h, 2 d"; null where one is none. */
export function minutesTyped(text: string): number[] | null {
  const parts = text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  const minutes = parts.map((part) => {
    const [, figure = '', unit = 'min'] = /^(\d{1,6})\s*(min|h|d|days?)?$/i.exec(part) ?? [];
    const factor = unit.toLowerCase() === 'h' ? 60 : unit.toLowerCase().startsWith('d') ? 1440 : 1;
    return figure === '' ? 0 : Number(figure) * factor;
  });
  return minutes.length === 0 || minutes.some((one) => one < 1) ? null : minutes;
}

const NO_TIMES: Trouble = {
  what: 'These times are not understood.',
  where: 'times',
  next: 'Write them as 15 min, 1 h, 2 d, with commas between.',
};

/** A blotter was dipped, at a moment of the window's own zone. */
export async function dipBlotter(
  batch: string,
  typed: { readonly name: string; readonly at: string; readonly times: string },
): Promise<boolean> {
  const minutes = minutesTyped(typed.times);
  const at = new Date(typed.at);
  if (minutes === null || Number.isNaN(at.getTime())) {
    const trouble: Trouble =
      minutes === null
        ? NO_TIMES
        : { what: 'This is no moment.', where: 'at', next: 'Give the day and the time it was dipped.' };
    trialTrouble.value = { doing: 'dip', trouble };
    return false;
  }
  return stored('dip', askReply('trials.dip', { batch, name: typed.name, at: at.toISOString(), minutes }));
}

export const noteTrial = (input: Input<'trials.note'>): Promise<boolean> =>
  stored('note', askReply('trials.note', input));

export const letGo = (batch: string, blotter: string, minute: number): Promise<boolean> =>
  stored('let go', askReply('trials.let-go', { batch, blotter, minute }));

export const mature = (batch: string, on: string | null): Promise<boolean> =>
  stored('mature', askReply('trials.mature', { batch, on }));
