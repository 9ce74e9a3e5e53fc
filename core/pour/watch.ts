import { decimal } from '../quantity/decimal.ts';
import { jumpOf } from '../weighing/drift.ts';
import type { Reading } from '../weighing/reading.ts';
import type { Settled } from '../weighing/settling.ts';
import { vesselLevel } from './asking.ts';
import type { PourCommand } from './commands.ts';
import { isWatched } from './interruptions.ts';
import type { PourState } from './state.ts';

/** What the watch over vessel and display has seen. Bounded: a few readings, however long it lasts. */
export interface Watch {
  /** The last gross at rest. */
  readonly rest: { readonly g: string; readonly c: number } | null;
  /** The last reading with the vessel on the pan, and the first one of those without it since. */
  readonly loaded: Reading | null;
  readonly off: Reading | null;
  /** The reading from which it has fallen without a halt, with the vessel on the pan: a lift takes a few readings. */
  readonly top: Reading | null;
  /** Furthest from `rest` since the reading left it, g; signed. */
  readonly furthest: number;
}

export const NOTHING_WATCHED: Watch = { rest: null, loaded: null, off: null, top: null, furthest: 0 };

/** A reading so far below the empty vessel is not the vessel, d; for so long, ms. */
const BELOW = 8;
const BELOW_MS = 400;
/** A drop that falls makes a reading jump by less than this, d. */
const IMPACT = 50;
/** Within this the display reads the same, d. */
const SAME = 2;
/** A reading that falls faster than this from one to the next is a lift; a pipette that draws is slower than the second, d. */
const FALLS = 2;
const FALLS_WHILE_DRAWN = 8;

type Jumped = Extract<PourCommand, { type: 'jump' }>;

/** One reading further: what is to be said to the batch of it, if anything. */
export function watch(
  before: Watch,
  reading: Reading,
  settled: Settled | null,
  state: PourState,
): { readonly watch: Watch; readonly jump: Jumped | null } {
  const level = vesselLevel(state);
  if (level === null || !isWatched(state) || reading.typed === true)
    return { watch: NOTHING_WATCHED, jump: null };
  const d = Number(state.facts.balance.limits.d);
  const g = Number(reading.g);
  if (g < level.toNumber() - BELOW * d) return below(before, reading, state, d);
  const top = topOf(before, reading, state, d);
  const at = { ...before, off: null, top };
  const small = zeroedWhileLight(before, reading, settled, state, d);
  if (small !== null) return { watch: { ...NOTHING_WATCHED, loaded: reading, top: reading }, jump: small };
  if (settled === null) {
    const far = before.rest === null ? 0 : g - before.rest.c;
    const furthest = Math.abs(far) > Math.abs(before.furthest) ? far : before.furthest;
    return { watch: { ...at, loaded: reading, furthest }, jump: null };
  }
  const jump = knocked(before, settled, state, d);
  const rest = { g: settled.g, c: Number(settled.g) };
  return { watch: { rest, loaded: reading, off: null, top, furthest: 0 }, jump };
}

/** Where the fall began that this reading belongs to: the reading itself unless it is well below the one before. */
function topOf({ loaded, top }: Watch, reading: Reading, state: PourState, d: number): Reading {
  const falls = (state.phase === 'withdrawing' ? FALLS_WHILE_DRAWN : FALLS) * d;
  const falling = loaded !== null && Number(loaded.g) - Number(reading.g) > falls;
  return falling ? (top ?? loaded) : reading;
}

/** The reading is below the empty vessel: said once it has been there long enough to be no knock. */
function below(
  before: Watch,
  reading: Reading,
  state: PourState,
  d: number,
): { readonly watch: Watch; readonly jump: Jumped | null } {
  const off = before.off ?? reading;
  const next = { ...before, off };
  if (reading.at - off.at < BELOW_MS || state.lifted !== null) return { watch: next, jump: null };
  const { from, moving } = stood(before, state, d);
  const ms = before.top === null ? Number.POSITIVE_INFINITY : off.at - before.top.at;
  const jump = jumpOf({
    from: Number(from),
    to: Number(off.g),
    ms,
    furthest: 0,
    d,
    vessel: null,
    pan: state.shift.toNumber(),
    pouring: state.inHand !== null,
  });
  const held = Math.abs(Number(reading.g) - Number(off.g)) <= SAME * d;
  if (jump === 're-zeroed' && held)
    return {
      watch: { ...NOTHING_WATCHED, loaded: reading, top: reading },
      jump: { type: 'jump', jump: 're-zeroed', from, to: reading.g, moving },
    };
  return { watch: next, jump: { type: 'jump', jump: 'lifted', from, to: reading.g, moving: false } };
}

/** What stood on the display before the fall: the last rest where that began near it, else the reading it began at. */
function stood(before: Watch, state: PourState, d: number): { from: string; moving: boolean } {
  const { rest, top } = before;
  const known =
    rest ?? (state.gross === null ? null : { g: state.gross.toString(), c: state.gross.toNumber() });
  if (top === null) return { from: known?.g ?? '0', moving: false };
  const near = known !== null && Math.abs(Number(top.g) - known.c) <= SAME * d;
  return near ? { from: known.g, moving: false } : { from: top.g, moving: true };
}

/** Once the display was zeroed with the vessel on, a further zeroing does not go below the vessel. */
function zeroedWhileLight(
  before: Watch,
  reading: Reading,
  settled: Settled | null,
  state: PourState,
  d: number,
): Jumped | null {
  const { rest, loaded } = before;
  if (settled !== null || rest === null || loaded === null || state.lifted !== null) return null;
  if (Math.abs(Number(reading.g)) > SAME * d || Math.abs(rest.c) <= BELOW * d) return null;
  if (Math.abs(Number(loaded.g) - rest.c) > SAME * d) return null;
  const near = jumpOf({
    from: rest.c,
    to: Number(reading.g),
    ms: reading.at - loaded.at,
    furthest: 0,
    d,
    vessel: null,
    pan: Number.NaN,
    pouring: state.inHand !== null,
  });
  return near === 're-zeroed'
    ? { type: 'jump', jump: 're-zeroed', from: rest.g, to: reading.g, moving: false }
    : null;
}

/** Far off and back to the same rest: vessel or pan was touched. */
function knocked(before: Watch, settled: Settled, state: PourState, d: number): Jumped | null {
  const { rest, furthest } = before;
  if (rest === null || state.lifted !== null) return null;
  const jump = jumpOf({
    from: rest.c,
    to: Number(settled.g),
    ms: Number.POSITIVE_INFINITY,
    furthest,
    d,
    vessel: null,
    pan: Number.NaN,
    pouring: state.inHand !== null,
  });
  const least = state.inHand === null ? BELOW : IMPACT;
  if (jump !== 'knock' || Math.abs(furthest) <= least * d) return null;
  const to = decimal(rest.g).plus(furthest.toFixed(6)).toString();
  return { type: 'jump', jump: 'knock', from: rest.g, to, moving: false };
}
