import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import {
  type CheckVerdict,
  judge,
  limitAt,
  measuredS,
  shownMass,
  signedMass,
  type Weights,
  weightsText,
  worst,
} from './check-rules.ts';
import { type CheckRun, counted, isOneByOne } from './check-state.ts';
import type { CheckOrder } from './check-steps.ts';
import {
  dailyRules,
  driftLimit,
  driftRule,
  dropRules,
  leastDrop,
  linearRules,
  placesRules,
  repeatsRule,
} from './check-told.ts';
import { slopeOf } from './drift.ts';
import { countable, countFrom, countReading, learnDrop, PAUSE_READINGS } from './drops.ts';

/** One figure of a result against its limit; `limit` null where nothing is published. */
export interface ResultRow {
  readonly label: string;
  readonly figure: string;
  readonly limit: string | null;
  readonly ok: boolean | null;
}

/** What a check found. Masses in g. */
export interface CheckResult {
  readonly verdict: CheckVerdict;
  /** One sentence with the figures. */
  readonly text: string;
  readonly rows: readonly ResultRow[];
  /** The published rules beside it, and how they were applied. */
  readonly rules: readonly string[];
  /** The figure that is followed over time, with the limits it lies between where there are any. */
  readonly main: {
    readonly what: string;
    readonly g: DecimalText;
    readonly low: DecimalText | null;
    readonly high: DecimalText | null;
  };
  /** Repeatability: standard deviation of the nets, its standard uncertainty, and how many. */
  readonly s?: { readonly g: DecimalText; readonly u: DecimalText; readonly n: number };
}

const plusMinus = (limit: Decimal): string => `± ${plain(limit)} g`;
const FAILED_RETURN = 'The pan did not come back to zero.';

/** Figures of the stations that count, in their order. */
const figures = (run: CheckRun): Decimal[] => counted(run).map((one) => decimal(one.g));

/** Nets of loads that alternate with zeros: each against the zero before it. */
function nets(run: CheckRun): Decimal[] {
  const all = figures(run);
  const found: Decimal[] = [];
  for (let n = 1; n < all.length; n += 2) {
    const load = all[n];
    const zero = all[n - 1];
    if (load !== undefined && zero !== undefined) found.push(load.minus(zero));
  }
  return found;
}

/** Whether the last figure, the pan empty again, is the first but for one step. */
function back(run: CheckRun): { readonly row: ResultRow; readonly ok: boolean } {
  const all = figures(run);
  const away = (all.at(-1) ?? new Decimal(0)).minus(all[0] ?? 0);
  const ok = away.abs().lte(run.balance.d);
  const figure = `${signedMass(away, run.balance.d)} g`;
  return { ok, row: { label: 'back to zero', figure, limit: `± ${run.balance.d} g`, ok } };
}

function daily(run: CheckRun, weights: Weights): CheckResult {
  const { balance } = run;
  const net = nets(run)[0] ?? new Decimal(0);
  const found = judge(net, weights, balance);
  const returned = back(run);
  const verdict = returned.ok ? found.verdict : 'fail';
  const error = signedMass(found.error, balance.d);
  const coarse = found.verdict === 'doubtful' ? ' The weight is too coarse to tell.' : '';
  return {
    verdict,
    text: `${weightsText(weights)}, read ${shownMass(net, balance.d)} g: error ${error} g, limit ${plusMinus(found.limit)}.${coarse}${returned.ok ? '' : ` ${FAILED_RETURN}`}`,
    rows: [
      {
        label: weightsText(weights),
        figure: `${error} g`,
        limit: plusMinus(found.limit),
        ok: found.verdict === 'doubtful' ? null : found.verdict === 'pass',
      },
      returned.row,
    ],
    rules: dailyRules(weights, net, balance),
    main: {
      what: 'error',
      g: plain(found.error),
      low: plain(found.limit.negated()),
      high: plain(found.limit),
    },
  };
}

/** Two significant digits tell a standard deviation of so few. */
const twoDigits = (value: Decimal): string => plain(value.toSignificantDigits(2));

function repeatability(run: CheckRun): CheckResult {
  const { balance } = run;
  const all = nets(run);
  const { s, u, n, range } = measuredS(all);
  const load = all[0] ?? new Decimal(0);
  const limit = limitAt(load, balance);
  const ok = range.lte(limit);
  const floor = decimal(balance.d).times('0.41');
  const used = Decimal.max(s, floor);
  return {
    verdict: ok ? 'pass' : 'fail',
    text: `${n} weighings of ${shownMass(load, balance.d)} g: s = ${twoDigits(s)} g (standard uncertainty ${twoDigits(u)} g), greatest difference ${shownMass(range, balance.d)} g, limit ${plain(limit)} g.`,
    rows: [
      {
        label: 'greatest difference',
        figure: `${shownMass(range, balance.d)} g`,
        limit: `${plain(limit)} g`,
        ok,
      },
      { label: 'standard deviation s', figure: `${twoDigits(s)} g`, limit: null, ok: null },
      ...all.map((net, i) => ({
        label: `weighing ${i + 1}`,
        figure: `${shownMass(net, balance.d)} g`,
        limit: null,
        ok: null,
      })),
    ],
    rules: [
      repeatsRule(load, balance),
      `u(s) = s / √(2 (n − 1)), JCGM 100, E.4.3 (the clause from memory). From here on s = max(s, 0.41 d) = ${twoDigits(used)} g counts in every plan and every uncertainty, until the next such run.`,
      `For comparison, not imposed: USP <41> asks for n of 10 or more and gives the least weight 2000 max(s, 0.41 d) = ${plain(used.times(2000).toSignificantDigits(3))} g for 0.10 %.`,
    ],
    main: { what: 'greatest difference', g: plain(range), low: null, high: plain(limit) },
    s: { g: plain(s.toSignificantDigits(6)), u: plain(u.toSignificantDigits(3)), n },
  };
}

function eccentricity(run: CheckRun): CheckResult {
  const { balance } = run;
  const taken = counted(run);
  const [zero = new Decimal(0), centre = new Decimal(0)] = figures(run);
  const load = centre.minus(zero);
  const limit = limitAt(load, balance);
  const places = taken.slice(2, -1).map((one) => {
    const off = decimal(one.g).minus(centre);
    const figure = `${signedMass(off, balance.d)} g`;
    return { off, row: { label: one.label, figure, limit: plusMinus(limit), ok: off.abs().lte(limit) } };
  });
  const most = places.reduce((far, { off }) => (off.abs().gt(far.abs()) ? off : far), new Decimal(0));
  const returned = back(run);
  const third = decimal(balance.capacity).div(3);
  const share = load.div(third);
  const light = share.lt('0.7') || share.gt('1.3');
  const ok = returned.ok && places.every(({ row }) => row.ok);
  return {
    verdict: ok ? 'pass' : 'fail',
    text: `${shownMass(load, balance.d)} g at four corners: at most ${signedMass(most, balance.d)} g off the middle, limit ${plusMinus(limit)}.${returned.ok ? '' : ` ${FAILED_RETURN}`}`,
    rows: [
      { label: 'centre', figure: `${shownMass(load, balance.d)} g`, limit: null, ok: null },
      ...places.map(({ row }) => row),
      returned.row,
    ],
    rules: [
      ...placesRules(load, balance),
      ...(light
        ? [
            `A third of the capacity is ${plain(third.toSignificantDigits(3))} g; this load was another, and tells the less of it.`,
          ]
        : []),
    ],
    main: { what: 'furthest off the middle', g: plain(most.abs()), low: null, high: plain(limit) },
  };
}

function linearity(run: CheckRun, loads: readonly Weights[]): CheckResult {
  const { balance } = run;
  const all = nets(run);
  const judged = loads.flatMap((weights, i) => {
    const net = all[i];
    return net === undefined ? [] : [{ weights, found: judge(net, weights, balance) }];
  });
  const far = judged.reduce(
    (worse, { found }) => {
      const ratio = found.error.div(found.limit);
      return ratio.abs().gt(worse.ratio.abs()) ? { ratio, found } : worse;
    },
    { ratio: new Decimal(0), found: judged[0]?.found ?? null },
  );
  const returned = back(run);
  const verdict = returned.ok ? worst(judged.map(({ found }) => found.verdict)) : 'fail';
  const said =
    far.found === null
      ? ''
      : `furthest at ${plain(far.found.nominal)} g: ${signedMass(far.found.error, balance.d)} g, limit ${plusMinus(far.found.limit)}`;
  return {
    verdict,
    text: `${judged.length} loads from ${plain(Decimal.min(...judged.map(({ found }) => found.nominal)))} to ${plain(Decimal.max(...judged.map(({ found }) => found.nominal)))} g; ${said}.${returned.ok ? '' : ` ${FAILED_RETURN}`}`,
    rows: [
      ...judged.map(({ weights, found }) => ({
        label: weightsText(weights),
        figure: `${signedMass(found.error, balance.d)} g`,
        limit: plusMinus(found.limit),
        ok: found.verdict === 'doubtful' ? null : found.verdict === 'pass',
      })),
      returned.row,
    ],
    rules: linearRules(loads, balance),
    main: {
      what: 'furthest error',
      g: plain(far.found?.error ?? new Decimal(0)),
      low: plain((far.found?.limit ?? new Decimal(0)).negated()),
      high: plain(far.found?.limit ?? new Decimal(0)),
    },
  };
}

/** Minutes with one decimal. */
const minutesText = (ms: number): string => (ms / 60_000).toFixed(1);

function drift(run: CheckRun, minutes: number): CheckResult {
  const { balance, samples } = run;
  const { d } = balance;
  const first = samples[0] ?? { g: '0', at: 0 };
  const last = samples.at(-1) ?? first;
  const change = decimal(last.g).minus(first.g);
  const furthest = samples.reduce((far, one) => {
    const off = decimal(one.g).minus(first.g).abs();
    return off.gt(far) ? off : far;
  }, new Decimal(0));
  const limit = driftLimit(balance);
  const slope = slopeOf(
    samples.map(({ g, at }) => ({ g: Number(g), at })),
    Number(d),
  );
  const over = furthest.gt(limit);
  const seen = minutesText(last.at - first.at);
  const early = run.early ? ` Ended early, after ${seen} of ${minutes} minutes.` : '';
  return {
    verdict: over ? 'fail' : run.early ? 'doubtful' : 'pass',
    text: `${seen} minutes under load: at most ${shownMass(furthest, d)} g from the first figure, limit ${plain(limit)} g.${early}`,
    rows: [
      {
        label: 'furthest from the first figure',
        figure: `${shownMass(furthest, d)} g`,
        limit: `${plain(limit)} g`,
        ok: !over,
      },
      { label: 'from first to last', figure: `${signedMass(change, d)} g`, limit: null, ok: null },
      ...(slope === null
        ? []
        : [
            {
              label: 'slope, standard uncertainty',
              figure: `${(slope.gPerMin * 1000).toFixed(2)} ± ${(slope.u * 1000).toFixed(2)} mg/min`,
              limit: null,
              ok: null,
            },
          ]),
    ],
    rules: [driftRule(minutes, balance)],
    main: { what: 'furthest from the first figure', g: plain(furthest), low: null, high: plain(limit) },
  };
}

function drops(run: CheckRun, count: number): CheckResult {
  const { balance, samples } = run;
  const d = Number(balance.d);
  const base = Number(samples[0]?.g ?? '0');
  const end = Number(run.settling.settled?.g ?? samples.at(-1)?.g ?? '0');
  const rise = end - base;
  const rules = dropRules(balance.d);
  const least = plain(leastDrop(balance.d));
  if (rise <= 0)
    return {
      verdict: 'doubtful',
      text: `${count} drops fell and the balance showed no rise: drops as small as these are not seen, or zero tracking swallowed them.`,
      rows: [
        { label: 'rise', figure: `${signedMass(new Decimal(rise), balance.d)} g`, limit: null, ok: false },
      ],
      rules,
      main: { what: 'mean drop', g: '0', low: least, high: null },
    };
  const drop = learnDrop(rise, count, d);
  const { seen, smallest } = stepsSeen(run, drop.mean / d);
  const sees = countable(drop, d) && seen === count;
  const mg = (g: number): string => `${(g * 1000).toFixed(1)} mg`;
  return {
    verdict: sees ? 'pass' : 'doubtful',
    text: `${count} drops of ${mg(drop.mean)} on average: ${seen} seen as steps${smallest === null ? '' : `, the smallest of ${smallest} d`}.${sees ? '' : ' Drops as small as these are not counted on this balance.'}`,
    rows: [
      {
        label: 'mean drop, standard uncertainty',
        figure: `${mg(drop.mean)} ± ${mg(drop.u)}`,
        limit: `from ${mg(2 * d)}`,
        ok: countable(drop, d),
      },
      { label: 'drops seen as steps', figure: String(seen), limit: String(count), ok: seen === count },
      ...(smallest === null
        ? []
        : [
            {
              label: 'smallest step seen',
              figure: `${plain(decimal(balance.d).times(smallest))} g`,
              limit: null,
              ok: null,
            },
          ]),
    ],
    rules,
    main: {
      what: 'mean drop',
      g: plain(new Decimal(drop.mean).toDecimalPlaces(5)),
      low: least,
      high: null,
    },
  };
}

/** Drops counted by their steps over the whole watch, and the smallest step that counted, in d. */
function stepsSeen(run: CheckRun, drop: number): { readonly seen: number; readonly smallest: number | null } {
  const d = Number(run.balance.d);
  const at = (g: DecimalText): number => Math.round(Number(g) / d);
  let state = countFrom(at(run.samples[0]?.g ?? '0'));
  let smallest: number | null = null;
  const rests = isOneByOne(run)
    ? run.samples.flatMap((one) => Array.from({ length: PAUSE_READINGS }, () => one))
    : run.samples;
  for (const { g } of rests) {
    const next = countReading(state, at(g), drop);
    if (next.count > state.count) {
      const step = (next.base - state.base) / (next.count - state.count);
      smallest = smallest === null ? step : Math.min(smallest, step);
    }
    state = next;
  }
  return { seen: state.count, smallest: smallest === null ? null : Math.round(smallest * 10) / 10 };
}

const foundBy = (run: CheckRun, order: CheckOrder): CheckResult => {
  switch (order.kind) {
    case 'daily':
      return daily(run, order.weights);
    case 'repeatability':
      return repeatability(run);
    case 'eccentricity':
      return eccentricity(run);
    case 'linearity':
      return linearity(run, order.loads);
    case 'drift':
      return drift(run, order.minutes);
    case 'drops':
      return drops(run, order.count);
  }
};

/** What a check found, once it is done. A figure taken though it was not what was expected is told. */
export function resultOf(run: CheckRun): CheckResult {
  if (run.phase !== 'done') throw new RangeError('the check is not done');
  const found = foundBy(run, run.order);
  const odd = counted(run).filter((one) => one.odd !== undefined);
  if (odd.length === 0) return found;
  const said = odd.map((one) => `${one.label}: ${one.odd}`);
  return { ...found, rules: [...found.rules, ...said.map((one) => `Taken all the same. ${one}`)] };
}
