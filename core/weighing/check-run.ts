import { decimal } from '../quantity/decimal.ts';
import { against, isOff, isStill, TOUCH, unrest } from './check-against.ts';
import type { CheckedBalance } from './check-rules.ts';
import { type CheckRun, type CheckTroubleKind, counted, stationOf, type Taken } from './check-state.ts';
import { type CheckOrder, stationsOf } from './check-steps.ts';
import type { Reading } from './reading.ts';
import { cleared, type Settled, settle, unsettled } from './settling.ts';

/** What nobody may take, whatever was said: it would be no figure of this check. */
const NEVER: readonly CheckTroubleKind[] = ['range', 'another'];
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
    return { ...heard, since: null, trouble: waiting ? null : trouble };
  }
  if (!station.byItself) return { ...heard, since: null, trouble: null };
  return settling.phase === 'watched' ? takenAt(heard, settled) : { ...heard, trouble: null };
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

/** Something that is no weight, or beyond the range: what is watched was pressed on or lifted then, and begins anew. */
export function hearNoWeight(run: CheckRun, what: string, beyond = false): CheckRun {
  if (run.phase === 'done') return run;
  const watched = beyond && run.phase !== 'stations';
  const from = watched ? backTo(run, run.stations.length - 1, 'touched or lifted') : run;
  return {
    ...from,
    settling: cleared(run.settling),
    moved: from.moved || beyond,
    trouble: { kind: 'range', text: watched ? `${what} This part begins anew.` : what },
  };
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
  if (allTheSame && !empty && !NEVER.includes(trouble.kind)) return takenAt(run, settled, trouble.text);
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
