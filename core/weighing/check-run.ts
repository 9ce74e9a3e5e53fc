import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import type { CheckedBalance } from './check-rules.ts';
import { type CheckOrder, type Station, stationsOf } from './check-steps.ts';
import type { Reading } from './reading.ts';
import { cleared, type Settled, type SettlingState, settle, unsettled } from './settling.ts';

/** A figure that was taken. What was taken amiss stays, with the reason why it does not count. */
export interface Taken {
  readonly station: number;
  readonly label: string;
  readonly g: DecimalText;
  /** Milliseconds on the caller's clock. */
  readonly at: number;
  readonly readings: number;
  readonly rule: string;
  /** It was not what was expected, and the person took it all the same. */
  readonly odd?: string;
  readonly void?: string;
}

export type CheckTroubleKind =
  | 'lost'
  | 'unit'
  | 'range'
  | 'restless'
  | 'touched'
  | 'not-it'
  | 'not-zero'
  | 'unmoved';

/** What is wrong at this moment, and what to do. */
export interface CheckTrouble {
  readonly kind: CheckTroubleKind;
  readonly text: string;
}

/** A check under way. Everything that comes after the stations is kept as samples: drift, drops. */
export interface CheckRun {
  readonly order: CheckOrder;
  readonly balance: CheckedBalance;
  readonly stations: readonly Station[];
  readonly phase: 'stations' | 'watching' | 'dropping' | 'done';
  /** The station that is wanted. */
  readonly station: number;
  readonly taken: readonly Taken[];
  readonly settling: SettlingState;
  /** The reading has been well off the last figure since that was taken: something was lifted or moved. */
  readonly moved: boolean;
  /** Time of the first reading at this station, ms. */
  readonly since: number | null;
  readonly unit: string | null;
  readonly trouble: CheckTrouble | null;
  readonly samples: readonly { readonly g: DecimalText; readonly at: number }[];
  /** Drift was ended before its time. */
  readonly early: boolean;
}

/** Nothing at rest for so long is told, ms. */
const RESTLESS_MS = 20_000;
/** Off the figure at rest by more than this, it was touched, d. */
const TOUCH = 8;
/** A load may differ from what is expected by this share, or by so many steps, before it is taken for another. */
const OTHER_SHARE = 0.02;
const OTHER_STEPS = 20;
/** A loaded pan shows at least so many steps more than an empty one. */
const LOADED_STEPS = 10;
/** Samples kept: at 20 readings a second, a quarter of an hour. */
const MOST_SAMPLES = 18_000;
/** Drift is sampled no more often than this, ms. */
const SAMPLE_EVERY_MS = 1000;

export function beginCheck(order: CheckOrder, balance: CheckedBalance): CheckRun {
  return {
    order,
    balance,
    stations: stationsOf(order),
    phase: 'stations',
    station: 0,
    taken: [],
    settling: unsettled,
    moved: false,
    since: null,
    unit: null,
    trouble: null,
    samples: [],
    early: false,
  };
}

/** The figures that count, in the order of their stations. */
export const counted = (run: CheckRun): readonly Taken[] => run.taken.filter((one) => one.void === undefined);

/** The figure that the present one is counted from: the last with an empty pan; null before there is one. */
export function zeroOf(run: CheckRun): Decimal | null {
  const last = counted(run).findLast((one) => run.stations[one.station]?.pan === 'empty');
  return last === undefined ? null : decimal(last.g);
}

const stationOf = (run: CheckRun): Station | null =>
  run.phase === 'stations' ? (run.stations[run.station] ?? null) : null;

/** What the load should be, g: what was ordered, or what it was the first time. */
function expected(run: CheckRun, station: Station): Decimal | null {
  if (station.load !== null) return decimal(station.load);
  const before = counted(run).find((one) => run.stations[one.station]?.pan === 'loaded');
  const zero = zeroOf(run);
  return before === undefined || zero === null ? null : decimal(before.g).minus(zero);
}

function notZero(run: CheckRun, g: Decimal): CheckTrouble | null {
  const zero = zeroOf(run) ?? new Decimal(0);
  const away = g.minus(zero);
  if (away.abs().lte(run.balance.d)) return null;
  const firstTime = zeroOf(run) === null;
  const what = away.lt(0)
    ? `It shows ${plain(g)} g: it was zeroed with something on the pan.`
    : firstTime
      ? `It shows ${plain(g)} g with nothing to weigh.`
      : `It does not come back to zero: ${plain(g)} g.`;
  return {
    kind: 'not-zero',
    text: `${what} ${firstTime ? 'Empty the pan and press zero on the balance.' : 'Look whether something lies on the pan or touches it.'}`,
  };
}

function notIt(run: CheckRun, station: Station, g: Decimal): CheckTrouble | null {
  const net = g.minus(zeroOf(run) ?? 0);
  const d = decimal(run.balance.d);
  const wanted = expected(run, station);
  if (net.lt(d.times(LOADED_STEPS))) return { kind: 'not-it', text: '' };
  if (
    wanted === null ||
    net
      .minus(wanted)
      .abs()
      .lte(Decimal.max(d.times(OTHER_STEPS), wanted.times(OTHER_SHARE)))
  )
    return null;
  return {
    kind: 'not-it',
    text: `It shows ${plain(net)} g where ${plain(wanted)} g was expected: look whether it is the right weight, and alone on the pan.`,
  };
}

/** What speaks against taking this figure at this station; null when nothing does. */
function against(run: CheckRun, station: Station, settled: Settled): CheckTrouble | null {
  const g = decimal(settled.g);
  if (station.pan === 'empty') return notZero(run, g);
  const other = notIt(run, station, g);
  if (other !== null) return other;
  if (station.moved === true && !run.moved)
    return {
      kind: 'unmoved',
      text: 'Nothing has moved since the last figure: move it to its next place first.',
    };
  return null;
}

function takenAt(run: CheckRun, settled: Settled, odd?: string): CheckRun {
  const station = run.stations[run.station];
  if (station === undefined) return run;
  const taken: Taken = {
    station: run.station,
    label: station.label,
    g: settled.g,
    at: settled.at,
    readings: settled.readings,
    rule: settled.rule,
    ...(odd === undefined ? {} : { odd }),
  };
  const next = run.station + 1;
  const after = run.order.kind === 'drift' ? 'watching' : run.order.kind === 'drops' ? 'dropping' : 'done';
  return {
    ...run,
    taken: [...run.taken, taken],
    station: next,
    phase: next < run.stations.length ? 'stations' : after,
    samples: [{ g: settled.g, at: settled.at }],
    moved: false,
    since: null,
    trouble: null,
  };
}

/** Drift and drops are watched from here on; the load lifted or touched begins the watch anew. */
function sampled(run: CheckRun, reading: Reading): CheckRun {
  const base = run.samples[0];
  if (base === undefined) return run;
  const off = decimal(reading.g).minus(base.g);
  const touched =
    run.phase === 'watching'
      ? off.abs().gt(decimal(run.balance.d).times(TOUCH))
      : off.lt(decimal(run.balance.d).times(-TOUCH));
  if (touched)
    return {
      ...backTo(run, run.stations.length - 1, 'touched or lifted'),
      trouble: { kind: 'touched', text: 'It was touched or lifted: this part begins anew.' },
    };
  const last = run.samples.at(-1) ?? base;
  if (run.phase === 'watching' && reading.at - last.at < SAMPLE_EVERY_MS) return run;
  if (run.samples.length >= MOST_SAMPLES) return run;
  const samples = [...run.samples, { g: reading.g, at: reading.at }];
  const { order } = run;
  const over = order.kind === 'drift' && reading.at - base.at >= order.minutes * 60_000;
  return { ...run, samples, trouble: null, ...(over ? { phase: 'done' as const } : {}) };
}

/** Goes back to a station; what was taken there and since stays, and does not count. */
function backTo(run: CheckRun, station: number, why: string): CheckRun {
  return {
    ...run,
    phase: 'stations',
    station,
    taken: run.taken.map((one) =>
      one.station >= station && one.void === undefined ? { ...one, void: why } : one,
    ),
    settling: cleared(run.settling),
    samples: [],
    moved: false,
    since: null,
    trouble: null,
  };
}

/** The last station with an empty pan up to the present one: after it every figure hangs on that zero. */
function lastEmpty(run: CheckRun): number {
  const upTo = Math.min(run.station, run.stations.length - 1);
  for (let n = upTo; n > 0; n -= 1) if (run.stations[n]?.pan === 'empty' && n < run.station) return n;
  return 0;
}

/** What is told of a reading that is not at rest. */
function unrest(run: CheckRun, before: Settled | null, reading: Reading): CheckTrouble | null {
  const d = decimal(run.balance.d);
  const g = decimal(reading.g);
  const loaded = g.minus(zeroOf(run) ?? 0).gt(d.times(LOADED_STEPS));
  const station = stationOf(run);
  if (station?.pan === 'loaded' && station.moved !== true && before !== null && loaded) {
    const rested = against(run, station, before) === null;
    if (rested && g.minus(before.g).abs().gt(d.times(TOUCH)))
      return { kind: 'touched', text: 'It was touched: take the hand away and wait until it rests.' };
  }
  if (run.since !== null && reading.at - run.since > RESTLESS_MS)
    return {
      kind: 'restless',
      text: 'It does not come to rest: a draught, a shaking table, something that touches the pan, or not warmed up yet.',
    };
  return run.trouble?.kind === 'touched' ? run.trouble : null;
}

function isOff(run: CheckRun, reading: Reading): boolean {
  const last = counted(run).at(-1);
  return last === undefined || decimal(reading.g).minus(last.g).abs().gt(decimal(run.balance.d).times(TOUCH));
}

/** Takes one reading: at a station that needs no word of the person a figure watched at rest is taken. */
export function hearReading(run: CheckRun, reading: Reading): CheckRun {
  if (run.phase === 'done') return run;
  if (run.unit !== null && reading.unit !== run.unit)
    return {
      ...run,
      settling: cleared(run.settling),
      trouble: {
        kind: 'unit',
        text: `The display changed from ${run.unit} to ${reading.unit}: switch it back to ${run.unit}.`,
      },
    };
  const moved = run.moved || reading.typed === true || isOff(run, reading);
  // What stood there before it was moved says nothing of where it stands now, however near the figures are.
  const from = moved && !run.moved && reading.typed !== true ? cleared(run.settling) : run.settling;
  const before = from.settled;
  const settling = settle(from, reading, { d: Number(run.balance.d) });
  const heard: CheckRun = {
    ...run,
    settling,
    unit: run.unit ?? reading.unit,
    since: run.since ?? reading.at,
    moved,
  };
  const station = stationOf(heard);
  if (station === null) return sampled(heard, reading);
  const { settled } = settling;
  if (settled === null) return { ...heard, trouble: unrest(heard, before, reading) };
  const trouble = against(heard, station, settled);
  if (trouble !== null) {
    // Nothing on the pan yet, or not moved yet: that is no trouble, it is what the step asks for.
    const waiting = trouble.text === '' || trouble.kind === 'unmoved' || isStill(heard, station, settled);
    return { ...heard, trouble: waiting ? null : trouble };
  }
  if (station.byItself && settling.phase === 'watched') return takenAt(heard, settled);
  return { ...heard, trouble: null };
}

/** The load of the step before still stands there: it is to be taken off. */
function isStill(run: CheckRun, station: Station, settled: Settled): boolean {
  const last = counted(run).at(-1);
  if (station.pan !== 'empty' || last === undefined || zeroOf(run) === null) return false;
  return decimal(settled.g).minus(last.g).abs().lte(decimal(run.balance.d).times(TOUCH));
}

/** The balance is away: figures that hang on the last zero are taken anew once it is back. */
export function hearLost(run: CheckRun, why: string): CheckRun {
  if (run.phase === 'done' || run.trouble?.kind === 'lost') return run;
  return {
    ...backTo(run, lastEmpty(run), 'balance lost'),
    settling: unsettled,
    trouble: {
      kind: 'lost',
      text: `Balance lost: ${why}. What was taken is kept; from the last zero on it is taken anew when the balance is back.`,
    },
  };
}

/** Beyond its range, or something that is no weight. */
export function hearNoWeight(run: CheckRun, what: string): CheckRun {
  if (run.phase === 'done') return run;
  return { ...run, settling: cleared(run.settling), trouble: { kind: 'range', text: what } };
}

/** What a person may say. */
export type CheckSaid = 'take' | 'take-all-the-same' | 'again' | 'end';

/** Why something cannot be said now, and what to do. */
export class CheckRefusal extends Error {
  readonly next: string;
  constructor(what: string, next: string) {
    super(what);
    this.name = 'CheckRefusal';
    this.next = next;
  }
}

function take(run: CheckRun, allTheSame: boolean): CheckRun {
  const station = stationOf(run);
  const { settled } = run.settling;
  if (station === null) throw new CheckRefusal('No figure is wanted now.', 'Follow the present step.');
  if (settled === null)
    throw new CheckRefusal('Nothing rests on the balance yet.', 'Wait until the figure is solid.');
  const trouble = against(run, station, settled);
  if (trouble === null) return takenAt(run, settled);
  const empty = trouble.text === '';
  if (allTheSame && !empty) return takenAt(run, settled, trouble.text);
  throw new CheckRefusal(empty ? 'The pan is empty.' : trouble.text, station.says);
}

/**
 * Does what the person says: take the figure at rest, take it though it is not what was expected, take the last one
 * again, or end a watch.
 * @throws CheckRefusal when it does not fit this moment
 */
export function say(run: CheckRun, what: CheckSaid): CheckRun {
  switch (what) {
    case 'take':
      return take(run, false);
    case 'take-all-the-same':
      return take(run, true);
    case 'again': {
      const last = counted(run).at(-1);
      if (last === undefined || run.phase === 'done')
        throw new CheckRefusal('No figure was taken yet.', 'Follow the present step.');
      return backTo(run, last.station, 'taken again');
    }
    case 'end': {
      if (run.phase !== 'watching' && run.phase !== 'dropping')
        throw new CheckRefusal('There is nothing to end yet.', 'Follow the present step.');
      if (run.samples.length < 3)
        throw new CheckRefusal('Too little was seen to tell anything.', 'Wait some seconds more.');
      if (run.phase === 'dropping' && run.settling.settled === null)
        throw new CheckRefusal('The last drop has not settled yet.', 'Wait until the figure is solid.');
      return { ...run, phase: 'done', early: run.phase === 'watching', trouble: null };
    }
  }
}

/** Whether this can be said now. */
export function canSay(run: CheckRun, what: CheckSaid): boolean {
  try {
    say(run, what);
    return true;
  } catch (cause) {
    if (cause instanceof CheckRefusal) return false;
    throw cause;
  }
}
