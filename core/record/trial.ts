/** A blotter dipped in a finished batch, smelled again at times after dipping. */
export interface Blotter {
  readonly id: string;
  /** What is written on it; may be empty. */
  readonly name: string;
  /** When it was dipped, RFC 3339. */
  readonly at: string;
  /** Times after dipping at which it is smelled, in whole minutes, rising. */
  readonly minutes: readonly number[];
}

/** What is watched of a finished batch. */
export interface Trial {
  readonly blotters: readonly Blotter[];
  /** Day on which the batch has matured, ISO 8601; null where none is set. */
  readonly matures: string | null;
  /** Times that were let go without a note. */
  readonly letGo: readonly { readonly blotter: string; readonly minute: number }[];
}

/** A note of a trial: only ever added. */
export interface TrialNote {
  readonly who: string;
  readonly text: string;
  /** Blotter and time that it is of; null where it is of the batch as such. */
  readonly of: { readonly blotter: string; readonly minute: number | null } | null;
  /** Written when the batch had matured. */
  readonly matured: boolean;
}

export type ReminderState = 'waits' | 'due' | 'noted' | 'let go';

export interface Reminder {
  readonly blotter: Blotter;
  readonly minute: number;
  /** RFC 3339. */
  readonly due: string;
  readonly state: ReminderState;
}

export const NO_TRIAL: Trial = { blotters: [], matures: null, letGo: [] };

/** Times after dipping at which a blotter is usually smelled, in minutes (common practice, no source). */
export const USUAL_MINUTES: readonly number[] = [15, 60, 240, 1440];

const MINUTE_MS = 60_000;

/**
 * Every time of every blotter, in the order they fall due: it waits until then, is due from then on, and is over with a
 * note of that blotter and time, or once it is let go.
 * @param now ms since 1970
 */
export function remindersOf(trial: Trial, notes: readonly TrialNote[], now: number): Reminder[] {
  const all = trial.blotters.flatMap((blotter) =>
    blotter.minutes.map((minute): Reminder => {
      const due = Date.parse(blotter.at) + minute * MINUTE_MS;
      const noted = notes.some(({ of }) => of?.blotter === blotter.id && of.minute === minute);
      const gone = trial.letGo.some((one) => one.blotter === blotter.id && one.minute === minute);
      const state = noted ? 'noted' : gone ? 'let go' : due <= now ? 'due' : 'waits';
      return { blotter, minute, due: new Date(due).toISOString(), state };
    }),
  );
  return all.sort((a, b) => (a.due < b.due ? -1 : a.due > b.due ? 1 : 0));
}

/** How maturing stands on a day (ISO 8601 date); null where no day is set. */
export function maturing(
  trial: Trial,
  notes: readonly TrialNote[],
  today: string,
): Exclude<ReminderState, 'let go'> | null {
  if (trial.matures === null) return null;
  if (notes.some((note) => note.matured)) return 'noted';
  return trial.matures <= today ? 'due' : 'waits';
}

/** A time after dipping in words: 15 is "15 min", 240 is "4 h", 2880 is "2 days". */
export function afterText(minutes: number): string {
  if (minutes % 1440 === 0 && minutes > 1440) return `${minutes / 1440} days`;
  if (minutes % 60 === 0) return `${minutes / 60} h`;
  return `${minutes} min`;
}
