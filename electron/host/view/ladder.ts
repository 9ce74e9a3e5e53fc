import { type LineState, netTotal, type PourState, type Withdrawing } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { Decimal, inwards } from '../../../core/quantity/decimal.ts';
import type { DropSize } from '../../../core/weighing/drops.ts';
import type { LadderRung, NowStep, PourView } from '../table.ts';
import { decimalsFor, dropsIn, enough, shown } from './figures.ts';

function mark(line: LineState): LadderRung['mark'] {
  if (line.end === 'open') return line.poured.gt(line.target.plus(line.half)) ? 'over' : 'none';
  return line.end;
}

const where = (line: LineState): string =>
  [line.step.note, line.step.family, line.step.qs ? 'q.s.' : null]
    .filter((part) => part !== null)
    .join(' · ');

/** The ladder from the vessel to the last line: what is done, what is now, what comes. */
export function ladder(state: PourState, present: LineState | null): LadderRung[] {
  const vessel: LadderRung = {
    line: 'vessel',
    title: 'Vessel',
    sub: '',
    figure: state.vessel === null ? null : shown(state.vessel, state),
    place: state.vessel === null ? 'now' : 'done',
    mark: 'none',
    topUp: false,
  };
  const rungs = state.lines.map((line): LadderRung => {
    const ended = line.end !== 'open';
    return {
      line: line.step.line,
      title: line.step.title,
      sub: where(line),
      figure: shown(ended || line.poured.gt(0) ? line.poured : line.target, state),
      place: line === present ? 'now' : ended ? 'done' : 'next',
      mark: mark(line),
      topUp: line.topUp !== null,
    };
  });
  return [vessel, ...rungs];
}

/** The step in hand, with `net` poured of it so far. */
export function nowStep(state: PourState, line: LineState, net: Decimal, drop: DropSize): NowStep {
  const { aim, low, high } = pourWindow(state, line);
  const toGo = aim.minus(net);
  const { step } = line;
  return {
    line: step.line,
    title: step.title,
    lot: step.lot,
    note: step.note,
    family: step.family,
    neat: step.kind === 'neat',
    topUp: line.topUp !== null,
    ...(step.unplanned === true ? { free: true } : {}),
    target: shown(aim, state),
    ...inwards(Decimal.max(low, 0), high, decimalsFor(state)),
    drop: drop.mean.toFixed(4),
    dropU: drop.u.toFixed(4),
    poured: shown(net, state),
    toGo: shown(toGo, state),
    drops: toGo.gt(0) ? dropsIn(toGo, drop.mean.toFixed(4), state) : null,
    cautions: [...step.cautions],
  };
}

/** What is taken out of the vessel as a step: the same lane, with what is out in place of what is poured. */
export function drawStep(
  state: PourState,
  line: LineState,
  { from, low, aim, high }: Withdrawing,
  taken: Decimal,
  drop: DropSize,
): NowStep {
  const { step } = line;
  const alone = from === 'unmixed';
  const toGo = aim.minus(taken);
  return {
    line: step.line,
    title: alone ? `${step.title}, out again` : 'Out of the stirred vessel',
    lot: step.lot,
    note: alone ? step.note : null,
    family: step.family,
    neat: alone && step.kind === 'neat',
    topUp: false,
    target: enough(aim, state),
    ...inwards(low, high ?? netTotal(state), decimalsFor(state)),
    drop: drop.mean.toFixed(4),
    dropU: drop.u.toFixed(4),
    poured: shown(taken, state),
    toGo: enough(toGo, state),
    drops: alone && toGo.gt(0) ? dropsIn(toGo, drop.mean.toFixed(4), state) : null,
    cautions: [...step.cautions],
  };
}

/** The bottle to fetch next. */
export function nextBottle(state: PourState, line: LineState): NonNullable<PourView['next']> {
  const { step } = line;
  return {
    title: step.title,
    lot: step.lot,
    note: step.note,
    family: step.family,
    target: shown(pourWindow(state, line).aim, state),
    topUp: line.topUp !== null,
    cautions: [...step.cautions],
  };
}
