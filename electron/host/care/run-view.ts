import { decimal } from '../../../core/quantity/decimal.ts';
import { signedMass } from '../../../core/weighing/check-rules.ts';
import { canSay } from '../../../core/weighing/check-run.ts';
import { type CheckRun, isOneByOne } from '../../../core/weighing/check-state.ts';
import { CORNERS, type Station } from '../../../core/weighing/check-steps.ts';
import { rulesFor } from '../../../core/weighing/check-told.ts';
import type { Output } from '../table.ts';
import type { CareRun } from './run.ts';

type View = NonNullable<Output<'care.run'>>;
type Action = View['actions'][number];

/** Checks by their names. */
export const TITLES: Readonly<Record<string, string>> = {
  daily: 'Daily check',
  repeatability: 'Repeatability',
  eccentricity: 'Eccentricity',
  linearity: 'Linearity',
  drift: 'Drift',
  drops: 'Smallest drop seen',
};

const action = (what: Action['do'], label: string, key: string, more: Partial<Action> = {}): Action => ({
  do: what,
  label,
  key,
  primary: false,
  enabled: true,
  ...more,
});

const stationNow = ({ phase, stations, station }: CheckRun): Station | null =>
  phase === 'stations' ? (stations[station] ?? null) : null;

function takeLabel(station: Station): string {
  if (station.pan === 'empty') return station.byItself ? 'It is back to zero' : 'The pan is empty, at zero';
  return station.byItself ? 'Take this figure' : 'It rests there';
}

function stationActions(run: CheckRun, station: Station): Action[] {
  const { trouble } = run;
  const odd =
    trouble?.kind === 'not-it' || trouble?.kind === 'not-zero' || (station.moved === true && !run.moved);
  return [
    action('take', takeLabel(station), 'Space', { primary: true, enabled: canSay(run, 'take') }),
    ...(odd && canSay(run, 'take-all-the-same')
      ? [action('take-all-the-same', 'Take it all the same', 'K')]
      : []),
    ...(canSay(run, 'again') ? [action('again', 'Take the last one again', 'B')] : []),
    action('stop', 'Stop the check', 'X'),
  ];
}

function actionsOf(care: CareRun): Action[] {
  const run = care.state;
  if (care.unkept !== null)
    return [
      action('keep', 'Try to store it again', 'Space', { primary: true }),
      action('leave', 'Leave it unstored', 'L'),
    ];
  if (!care.under) return [action('leave', 'Back to the checks', 'Space', { primary: true })];
  const station = stationNow(run);
  if (station !== null) return stationActions(run, station);
  const enabled = canSay(run, 'end');
  const end =
    run.order.kind === 'drops'
      ? action('end', `All ${run.order.count} have fallen`, 'Space', { primary: true, enabled })
      : action('end', 'End early', 'E', { enabled });
  return [end, action('again', 'Begin this part anew', 'B'), action('stop', 'Stop the check', 'X')];
}

function watchText({ order, samples, balance, phase }: CheckRun): string | null {
  const first = samples[0];
  const last = samples.at(-1);
  if (first === undefined || last === undefined) return null;
  const change = `${signedMass(decimal(last.g).minus(first.g), balance.d)} g since the beginning`;
  if (phase === 'dropping') return change;
  if (phase !== 'watching' || order.kind !== 'drift') return null;
  const seconds = Math.floor((last.at - first.at) / 1000);
  const clock = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
  return `${clock} of ${order.minutes}:00 minutes · ${change}`;
}

function stepOf(run: CheckRun): View['step'] {
  const of = run.stations.length + (run.order.kind === 'drift' || run.order.kind === 'drops' ? 1 : 0);
  const station = stationNow(run);
  if (station !== null) return { label: station.label, says: station.says, number: run.station + 1, of };
  const byHand = isOneByOne(run);
  if (run.phase === 'watching')
    return {
      label: 'under load',
      says: `Leave it alone. ${byHand ? 'Let a figure come every minute or so; the first after the time is over ends it.' : 'It ends by itself.'}`,
      number: of,
      of,
    };
  if (run.phase === 'dropping' && run.order.kind === 'drops')
    return {
      label: 'drops',
      says: `Let ${run.order.count} drops fall into the vessel, one at a time. ${byHand ? 'Let a figure come after each.' : 'Wait after each until the figure is solid.'} When all have fallen, say so.`,
      number: of,
      of,
    };
  return null;
}

function troubleText({ unkept, undrafted, under, state }: CareRun): string | null {
  if (unkept !== null) return `It could not be stored: ${unkept} It is kept here until it can.`;
  if (under && undrafted !== null)
    return `What was taken so far could not be stored: ${undrafted} It is tried again with the next figure.`;
  return state.trouble?.text ?? null;
}

/** A check as the window shows it. */
export function runView(care: CareRun): View {
  const run = care.state;
  const station = stationNow(run);
  const corner = CORNERS.find((one) => one === station?.label);
  const { result } = care;
  return {
    kind: run.order.kind,
    title: TITLES[run.order.kind] ?? run.order.kind,
    phase: care.stopped ? 'stopped' : run.phase,
    step: care.under ? stepOf(run) : null,
    watch: care.under ? watchText(run) : null,
    trouble: troubleText(care),
    load: station?.pan === 'loaded' ? station.load : null,
    place: corner ?? 'centre',
    rules: care.under ? [...rulesFor(run.order, run.balance)] : [],
    taken: run.taken.map(({ label, g, odd, void: why }) => ({
      label,
      g,
      odd: odd ?? null,
      void: why ?? null,
    })),
    actions: actionsOf(care),
    result:
      result === null
        ? null
        : { verdict: result.verdict, text: result.text, rows: [...result.rows], rules: [...result.rules] },
  };
}
