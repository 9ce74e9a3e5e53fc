import { type Decimal, decimal, plain } from '../quantity/decimal.ts';
import { closureLimit } from '../weighing/drift.ts';
import type { Settled } from '../weighing/settling.ts';
import { atRest, confirmLast, plainLike, touched, vesselLevel } from './asking.ts';
import { type PourCommand, PourRefusal } from './commands.ts';
import type { PourEvent } from './events.ts';
import { lastPour, type PourState } from './state.ts';

type Command<T extends PourCommand['type']> = Extract<PourCommand, { type: T }>;

/** Whether the vessel of a batch is expected on the pan, so that what the readings do means something. */
export const isWatched = (state: PourState): boolean =>
  state.vessel !== null &&
  state.closing === null &&
  ['bottle', 'pouring', 'over', 'withdrawing', 'closing'].includes(state.phase);

/** The display was zeroed: what was captured stands as it was read, and later readings count from the new zero. */
function zeroed(state: PourState, from: string, to: string): PourEvent[] {
  return [...confirmLast(state), { type: 're-zeroed', from, to }];
}

/** What was seen in the readings, as events; none where it changes nothing or was said already. */
export function onJump(state: PourState, { jump, from, to, moving }: Command<'jump'>): PourEvent[] {
  if (!isWatched(state) || state.lost !== null) return [];
  switch (jump) {
    case 'lifted':
      return state.lifted === null ? [{ type: 'vessel-lifted', last: from }] : [];
    case 're-zeroed': {
      if (state.lifted !== null) return [];
      const events = zeroed(state, from, to);
      if (!moving) return events;
      const detail = `the display was zeroed while it moved, at about ${from} g: what fell just then is not known`;
      return [...events, { type: 'noticed', what: 're-zeroed while moving', detail }];
    }
    case 'knock':
      return state.paused !== null
        ? []
        : [
            {
              type: 'noticed',
              what: 'knock',
              detail: `the reading went to ${to} g and came back to ${from} g`,
            },
          ];
  }
}

/** The vessel is at rest on the pan again: how far off it is, which nobody takes for a pour. */
export function onReturn(state: PourState, settled: Settled): PourEvent[] {
  const level = vesselLevel(state);
  if (state.lifted === null || level === null) return [];
  const gross = decimal(settled.g);
  if (gross.lt(level.minus(touched(state)))) return [];
  const off = gross.minus(state.lifted);
  return [{ type: 'vessel-returned', gross: settled.g, off: plainLike(off, settled.g), settled }];
}

/** @throws PourRefusal where no vessel is missing, or while the reading moves */
export function zeroedByHand(state: PourState, settled: Settled | null): PourEvent[] {
  if (state.lifted === null)
    throw new PourRefusal('The display reads what it should.', 'Follow the present step.');
  atRest(settled);
  return settled === null ? [] : zeroed(state, plain(state.lifted), settled.g);
}

/** What should be on the display at rest; null where it is not known, as in the middle of a pour. */
const expected = (state: PourState): Decimal | null =>
  state.inHand === null && state.withdrawing === null ? state.gross : state.pausedAt;

/** After a lost balance or a stop of the program; in the middle of a pour the gross before is not known. */
export const lookAgain = (state: PourState, settled: Settled, minutes: number): PourEvent[] =>
  state.paused !== null || state.inHand !== null || state.withdrawing !== null
    ? []
    : recheck(state, settled, minutes);

/** After a time away: a gross that differs by more than a closure may is said, and read anew. */
function recheck(state: PourState, settled: Settled, minutes: number): PourEvent[] {
  const before = expected(state);
  if (before === null || !isWatched(state) || state.lifted !== null || state.doubt !== null) return [];
  const off = decimal(settled.g).minus(before);
  const limit = closureLimit(Number(state.facts.balance.limits.d), minutes);
  if (off.abs().lte(limit)) return [];
  const detail = `${settled.g} g where ${plain(before)} g was left, ${plain(off)} g in ${Math.round(minutes)} min`;
  return [{ type: 'noticed', what: 'gross differs after a time away', detail }];
}

/** Nothing was poured meanwhile: the gross at rest counts from now on. */
export function readAnew(state: PourState, settled: Settled | null): PourEvent[] {
  if (state.doubt === null) throw new PourRefusal('The gross is not in doubt.', 'Follow the present step.');
  atRest(settled);
  const from = expected(state) ?? state.gross;
  if (settled === null || from === null) return [];
  return [...confirmLast(state), { type: 're-read', from: plain(from), to: settled.g, why: state.doubt }];
}

/** Pausing keeps what was at rest; going on is asked for with a reading at rest, so that drift is seen. */
export function pauseOrResume(state: PourState, command: Command<'pause' | 'resume'>): PourEvent[] {
  if (state.phase === 'closed' || state.phase === 'abandoned')
    throw new PourRefusal('The batch has ended.', 'Start another from Formulas.');
  if (command.type === 'pause') {
    const { why, settled } = command;
    if (state.paused !== null) return [];
    return [{ type: 'paused', why, ...(settled == null ? {} : { gross: settled.g }) }];
  }
  if (state.paused === null) return [];
  const { settled = null, minutes = 0 } = command;
  const rest: PourEvent[] =
    command.rested === undefined ? [] : [{ type: 'break-taken', minutes: command.rested }];
  const differs = settled === null ? [] : recheck(state, settled, minutes);
  return [{ type: 'resumed' }, ...rest, ...differs];
}

/** Whether the last pour may still be revised: not while anything is in doubt, nor once the vessel was off the pan. */
export const mayRevise = (state: PourState): boolean =>
  !state.cut && state.doubt === null && lastPour(state)?.confirmed === false;
