import type { PourEvent } from './events.ts';

/** A break of 15 minutes in each hour (common practice, no source): due after 45 minutes of work. */
export const BREAK_MINUTES = 15;
export const WORK_MINUTES = 45;

/** Since when somebody has been at work without a break, and since when it is paused; ms, null where it is not. */
export interface Work {
  readonly since: number | null;
  readonly pausedAt: number | null;
}

export const NO_WORK: Work = { since: null, pausedAt: null };

/** How long the pause under way has lasted at `now`, whole minutes; 0 where there is none. */
export const pausedFor = ({ pausedAt }: Work, now: number): number =>
  pausedAt === null ? 0 : Math.max(0, Math.floor((now - pausedAt) / 60_000));

/** The work after one more event, stamped `at` ms. Work begins with the batch, and anew with every break taken. */
export function worked(work: Work, event: PourEvent, at: number): Work {
  switch (event.type) {
    case 'started':
      return { since: at, pausedAt: null };
    case 'paused':
      return { ...work, pausedAt: at };
    case 'resumed':
      return { ...work, pausedAt: null };
    case 'break-taken':
      return { ...work, since: at };
    case 'closed':
    case 'abandoned':
      return NO_WORK;
    default:
      return work;
  }
}

/** Whether a break is due at `now`. It is said and never blocks. */
export function breakDue({ since, pausedAt }: Work, now: number): boolean {
  return since !== null && pausedAt === null && now - since >= WORK_MINUTES * 60_000;
}
