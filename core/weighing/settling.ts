import { type Level, levelOf, type Seen, SURE_STEP, stepOf } from './level.ts';
import type { Reading } from './reading.ts';

/** A reading that has come to rest, with how it was found. */
export interface Settled {
  readonly g: string;
  /** Time of the reading that completed the rule, and of the first that counted; milliseconds. */
  readonly at: number;
  readonly since: number;
  readonly readings: number;
  readonly rule: string;
}

/**
 * `moving`: nothing is at rest. `provisional`: the first figure at rest, shown at once and still watched.
 * `watched`: the window over the present level is long enough to be believed.
 */
export type SettlingPhase = 'moving' | 'provisional' | 'watched';

/** What was last told to be at rest; kept while the reading is off it for a moment. */
interface Told {
  readonly settled: Settled;
  /** In counts of d. */
  readonly c: number;
  /** Since when the mass rests there, ms. */
  readonly from: number;
  readonly watched: boolean;
  /** The reading has been far off it since: lifted or knocked, it is no rest again before it has settled anew. */
  readonly left: boolean;
}

/** What settling has seen since it was cleared. All of it is bounded. */
export interface SettlingState {
  readonly phase: SettlingPhase;
  /** The present figure at rest; a new object whenever a better one revises it, the same one while it stands. */
  readonly settled: Settled | null;
  /** Display step, g; null before the first reading. */
  readonly d: number | null;
  /** Usual time between readings, ms. */
  readonly every: number;
  readonly seen: readonly Seen[];
  /** Equal readings in a row, ending with the last. */
  readonly run: { readonly g: string; readonly since: number; readonly count: number } | null;
  readonly told: Told | null;
  /** The last change of mass: when it was first seen, ms, and the gross that stood before it. */
  readonly onset: { readonly at: number; readonly before: Settled } | null;
}

export const unsettled: SettlingState = {
  phase: 'moving',
  settled: null,
  d: null,
  every: 100,
  seen: [],
  run: null,
  told: null,
  onset: null,
};

/** How a typed figure settled, for the record. */
export const TYPED_RULE = 'figure typed by hand';
/** How a figure settled that the balance sent on its print key. */
export const PRINTED_RULE = 'figure sent by the print key';
/** The first figure at rest: so many equal readings in a row, over at least so long, ms. */
export const EQUAL_READINGS = 5;
export const EQUAL_FOR_MS = 380;
/** From the first reading that agrees with a level to those that enter its estimate, ms: the filter catches up. */
const LATE_MS = 600;
/** So long a level, and so many readings, are believed over the first figure. */
const WATCHED_MS = 1600;
const WATCHED_READINGS = 5;
/** A level younger than this is still poured onto: another figure is a drop rather than a draught, ms. */
const POURING_MS = 3500;
/** A silence of more than this, and of more than four usual intervals, cuts the window, ms. */
const GAP_MS = 1500;
/** Readings kept, and for how long, ms. */
const KEPT = 400;
const KEPT_MS = 20_000;
/** So long before it was seen a change may have begun, ms: the filter lets the first of it through slowly. */
const RISE_MS = 400;
/** Off by more than this is movement, d. */
const STEP = 1.5;
/** The least change of a watched level, d. */
const SMALL_STEP = 0.9;
/** The estimate must be off the told figure by so much to revise it, d: beyond half-way to the next. */
const REVISES = 0.51;

/** Clears what was read, and keeps what is known of the balance: for when a pour begins or the hand says "done". */
export function cleared(state: SettlingState): SettlingState {
  return { ...unsettled, every: state.every };
}

/** What the caller may know besides the readings. */
export interface SettlingMeans {
  /** A bottle is in hand: another figure at rest is a drop, however long the one before it stood. */
  readonly pouring?: boolean;
  /** Display step, g, where it is not one unit of the last digit. */
  readonly d?: number;
}

/**
 * Takes one reading. Streaming: readings come when they come, no rate is assumed, what is kept is bounded.
 *
 * The first figure is told after {@link EQUAL_READINGS} equal readings. From then on the level that most readings of
 * the last while agree with is watched, and a median that differs revises the figure with a new `settled`. A lift, a
 * knock or a silence cuts the window, so that none of them enters an estimate. While the reading is off the told
 * figure nothing is at rest; after a lift or a knock the same figure comes to rest anew, as a first one does. A reading
 * that the balance itself calls moving completes no run of equal ones; what it calls stable is believed no sooner than
 * any other, and the watch goes by the figures alone. A typed figure is at rest as it is entered: whoever typed it has
 * judged the display, and {@link TYPED_RULE} or {@link PRINTED_RULE} says so.
 */
export function settle(state: SettlingState, reading: Reading, means: SettlingMeans = {}): SettlingState {
  const d = state.d ?? means.d ?? stepOf(reading);
  const now: Seen = { c: Number(reading.g) / d, g: reading.g, at: reading.at };
  if (reading.typed === true)
    return entered({ ...state, d }, now, reading.printed === true ? PRINTED_RULE : TYPED_RULE);
  const last = state.seen.at(-1);
  const passed = last === undefined ? 0 : now.at - last.at;
  if (passed < 0 || passed > Math.max(GAP_MS, 4 * state.every)) return settle(cleared(state), reading, means);
  const every = passed > 0 ? state.every + 0.1 * (passed - state.every) : state.every;
  const seen = [...state.seen.slice(1 - KEPT), now];
  const kept = (seen[0]?.at ?? now.at) < now.at - KEPT_MS ? seen.slice(1) : seen;
  const run =
    state.run?.g === now.g
      ? { ...state.run, count: state.run.count + 1 }
      : { g: now.g, since: now.at, count: 1 };
  const next: SettlingState = { ...state, d, every, seen: kept, run, told: followed(state.told, now) };
  const pouring = means.pouring === true;
  const rests = reading.stable !== false && isRun(run, now.at);
  return shown(watched(rests ? provisional(next, now, pouring) : next), now);
}

/** What was told, with whether the reading has been further off it than any draught brings it. */
const followed = (told: Told | null, now: Seen): Told | null =>
  told === null || told.left || Math.abs(now.c - told.c) <= SURE_STEP ? told : { ...told, left: true };

/** The one reading is all there is: it settles at once, and stands until another figure is typed. */
function entered(state: SettlingState, now: Seen, rule: string): SettlingState {
  const before = state.settled;
  if (before?.g === now.g) return { ...state, seen: [now] };
  const settled: Settled = { g: now.g, at: now.at, since: now.at, readings: 1, rule };
  return {
    ...state,
    phase: 'watched',
    settled,
    seen: [now],
    run: null,
    told: { settled, c: now.c, from: now.at, watched: true, left: false },
    onset: before === null ? state.onset : { at: now.at, before },
  };
}

/** Tells another figure, and takes down the change where there was one. */
function tell(state: SettlingState, told: Told, onset: number | null): SettlingState {
  if (onset === null || state.told === null) return { ...state, told };
  return { ...state, told, onset: { at: onset, before: stoodBefore(state, state.told, onset) } };
}

/**
 * What stood before a change that was first seen at `onset`: by the readings up to it alone, since those of the first
 * drop may have drawn what was told along before the change was known to be one.
 */
function stoodBefore(state: SettlingState, told: Told, onset: number): Settled {
  const until = state.seen.filter((one) => one.at < onset - RISE_MS);
  const last = until.at(-1);
  const level = levelOf(until, LATE_MS);
  if (!told.watched || last === undefined || level === null || !isWatched(level, last.at))
    return told.settled;
  return medianOf(level, last.at);
}

const medianOf = ({ median, since, readings }: Level, at: number): Settled => ({
  g: median.g,
  at,
  since,
  readings,
  rule: `median of ${readings} readings`,
});

function isRun(run: NonNullable<SettlingState['run']>, now: number): boolean {
  return run.count >= EQUAL_READINGS && now - run.since >= EQUAL_FOR_MS;
}

/** The first figure at rest, or one after a change. */
function provisional(state: SettlingState, now: Seen, pouring: boolean): SettlingState {
  const { run, told } = state;
  if (run === null || (run.g === told?.settled.g && !told.left)) return state;
  if (told?.watched && !told.left && !isChange(told, now, pouring)) return state;
  const settled: Settled = {
    g: run.g,
    at: now.at,
    since: run.since,
    readings: run.count,
    rule: `${run.count} equal readings`,
  };
  const step = told !== null && Math.abs(now.c - told.c) >= STEP;
  const from = step || told === null || told.left ? run.since : told.from;
  const fresh: Told = { settled, c: now.c, from, watched: false, left: false };
  return tell(state, fresh, step ? leftAt(state, told) : null);
}

/** Whether another figure at rest is a change of mass rather than a draught on a watched level. */
function isChange(told: Told, now: Seen, pouring: boolean): boolean {
  const off = Math.abs(now.c - told.c);
  if (off < STEP) return false;
  return pouring || off > SURE_STEP || now.at - told.from < POURING_MS;
}

/** When the reading left the told level for good, ms. */
function leftAt(state: SettlingState, told: Told): number {
  const stayed = state.seen.findLastIndex((one) => Math.abs(one.c - told.c) < STEP);
  return (state.seen[stayed + 1] ?? state.seen.at(-1))?.at ?? 0;
}

function isWatched(level: Level, now: number): boolean {
  return level.readings >= WATCHED_READINGS && now - level.from >= WATCHED_MS;
}

/** The level by all readings, where it is long enough: it confirms what was told or revises it. */
function watched(state: SettlingState): SettlingState {
  const level = levelOf(state.seen, LATE_MS);
  const now = state.seen.at(-1)?.at ?? 0;
  if (level === null || !isWatched(level, now)) return state;
  const { told } = state;
  const { median, centre, from } = level;
  const settled = medianOf(level, now);
  const fresh: Told = { settled, c: median.c, from, watched: true, left: false };
  if (told === null) return tell(state, fresh, null);
  /* A level that the reading left for the told figure, and has not come back to, is the past. */
  if (level.until < told.settled.since) return state;
  if (told.left && Math.abs(centre - told.c) < STEP) return tell(state, fresh, null);
  if (median.g === told.settled.g || Math.abs(centre - told.c) < REVISES)
    return told.watched ? state : { ...state, told: { ...told, from, watched: true } };
  /* A small drop after a watched rest is a change too; before that, one count is the filter catching up. */
  const changed =
    from > told.settled.since && Math.abs(centre - told.c) >= (told.watched ? SMALL_STEP : STEP);
  return tell(state, fresh, changed ? leftAt(state, told) : null);
}

/** What is at rest at this reading. */
function shown(state: SettlingState, now: Seen): SettlingState {
  const { told } = state;
  if (told === null || told.left || Math.abs(now.c - told.c) > STEP)
    return { ...state, phase: 'moving', settled: null };
  return { ...state, phase: told.watched ? 'watched' : 'provisional', settled: told.settled };
}
