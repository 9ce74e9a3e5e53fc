import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import { type CheckRun, type CheckTrouble, counted, stationOf, zeroOf } from './check-state.ts';
import { LOADED_STEPS, type Station } from './check-steps.ts';
import type { Reading } from './reading.ts';
import type { Settled } from './settling.ts';

/** Nothing at rest for so long is told, ms. */
const RESTLESS_MS = 20_000;
/** Off the figure at rest by more than this, it was touched, d. */
export const TOUCH = 8;
/** A load may differ from what is expected by this share, or by so many steps, before it is taken for another. */
const OTHER_SHARE = 0.02;
const OTHER_STEPS = 20;

/** What one and the same load was the first time, g; null where loads differ, or none was taken yet. */
function sameAsBefore(run: CheckRun): Decimal | null {
  if (run.order.kind === 'linearity' || run.order.kind === 'daily') return null;
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
  const before = sameAsBefore(run);
  const wanted = before ?? (station.load === null ? null : decimal(station.load));
  if (net.lt(d.times(-LOADED_STEPS)))
    return {
      kind: 'range',
      text: `It shows ${plain(g)} g: it was zeroed with something on the pan. Take everything off and take the zero again.`,
    };
  if (net.lt(d.times(LOADED_STEPS))) return { kind: 'not-it', text: '' };
  if (net.gt(run.balance.capacity))
    return {
      kind: 'range',
      text: `It shows ${plain(net)} g, and the capacity of this balance is taken as ${run.balance.capacity} g: put on less, or stop and enter what its plate calls Max under This balance.`,
    };
  if (
    wanted === null ||
    net
      .minus(wanted)
      .abs()
      .lte(Decimal.max(d.times(OTHER_STEPS), wanted.times(OTHER_SHARE)))
  )
    return null;
  if (run.order.kind === 'repeatability' && before !== null)
    return {
      kind: 'another',
      text: `It shows ${plain(net)} g where the same ${plain(before)} g was expected: s is measured with one load. Put the same on again.`,
    };
  return {
    kind: 'not-it',
    text: `It shows ${plain(net)} g where ${plain(wanted)} g was expected: look whether it is the right weight, and alone on the pan.`,
  };
}

/** What speaks against taking this figure at this station; null when nothing does. */
export function against(run: CheckRun, station: Station, settled: Settled): CheckTrouble | null {
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

/** The load of the step before still stands there: it is to be taken off. */
export function isStill(run: CheckRun, station: Station, settled: Settled): boolean {
  const last = counted(run).at(-1);
  if (station.pan !== 'empty' || last === undefined || zeroOf(run) === null) return false;
  return decimal(settled.g).minus(last.g).abs().lte(decimal(run.balance.d).times(TOUCH));
}

/** What is told of a reading that is not at rest. */
export function unrest(run: CheckRun, before: Settled | null, reading: Reading): CheckTrouble | null {
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

/** The reading is well off the last figure that was taken. */
export function isOff(run: CheckRun, reading: Reading): boolean {
  const last = counted(run).at(-1);
  return last === undefined || decimal(reading.g).minus(last.g).abs().gt(decimal(run.balance.d).times(TOUCH));
}
