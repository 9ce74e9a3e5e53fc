import { BREAK_MINUTES, NO_WORK, pausedFor, type Work, worked } from '../../core/pour/breaks.ts';
import type { PourCommand } from '../../core/pour/commands.ts';
import type { StoredEvent } from '../../core/pour/events.ts';
import type { PourState } from '../../core/pour/state.ts';
import { NOTHING_WATCHED, type Watch, watch } from '../../core/pour/watch.ts';
import type { Reading } from '../../core/weighing/reading.ts';
import type { Settled } from '../../core/weighing/settling.ts';

/** What a bench minds besides the pour: vessel and display, time at work, and time away. */
export interface Minded {
  readonly watch: Watch;
  readonly work: Work;
  /** Since when the balance or the program was away, ms: the next gross at rest is looked at again. */
  readonly awaySince: number | null;
  /** Unit of the last reading. */
  readonly unit: string | null;
}

export const newlyMinded = (): Minded => ({
  watch: NOTHING_WATCHED,
  work: NO_WORK,
  awaySince: null,
  unit: null,
});

/** After events of the batch, each stamped. */
export const minded = (before: Minded, events: readonly StoredEvent[]): Minded => ({
  ...before,
  work: events.reduce((work, { event, at }) => worked(work, event, Date.parse(at)), before.work),
});

/** For a batch that is taken up at `now`, ms: a stop of the program as long as a break was one. */
export function mindedFrom(events: readonly StoredEvent[], now: number): Minded {
  const last = events.at(-1);
  const awaySince = last === undefined ? null : Date.parse(last.at);
  const { work, ...rest } = minded(newlyMinded(), events);
  const rested = awaySince !== null && now - awaySince >= BREAK_MINUTES * 60_000;
  return { ...rest, work: rested && work.pausedAt === null ? { ...work, since: now } : work, awaySince };
}

/** The balance is away since `now`, ms, or longer. */
export const away = (before: Minded, now: number): Minded => ({
  ...before,
  watch: NOTHING_WATCHED,
  awaySince: before.awaySince ?? now,
});

/** How long a pause has lasted, and whether it was a break. */
export function timeAway({ work }: Minded, now: number): { minutes: number; rested?: number } {
  const minutes = pausedFor(work, now);
  return minutes >= BREAK_MINUTES ? { minutes, rested: minutes } : { minutes };
}

/** One reading: what is minded from here on, and what is to be said to the batch. */
export function heedReading(
  before: Minded,
  reading: Reading,
  settled: Settled | null,
  state: PourState,
): { readonly minded: Minded; readonly commands: readonly PourCommand[] } {
  const commands: PourCommand[] = [];
  if (
    before.unit !== null &&
    before.unit !== reading.unit &&
    (reading.typed !== true || reading.printed === true)
  )
    commands.push({
      type: 'note',
      what: 'unit changed',
      detail: `the display changed from ${before.unit} to ${reading.unit}; it is counted in grams all the same`,
    });
  const seen = watch(before.watch, reading, settled, state);
  if (seen.jump !== null) commands.push(seen.jump);
  const since = before.awaySince;
  const again = since !== null && settled !== null;
  if (again) commands.push({ type: 'recheck', settled, minutes: Math.max(0, reading.at - since) / 60_000 });
  return {
    minded: { ...before, watch: seen.watch, awaySince: again ? null : since, unit: reading.unit },
    commands,
  };
}
