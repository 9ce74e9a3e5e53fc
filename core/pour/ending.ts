import { type Decimal, decimal } from '../quantity/decimal.ts';
import { closingCheck, closureLimit } from '../weighing/drift.ts';
import type { Settled } from '../weighing/settling.ts';
import { atRest, confirmLast, expectPhase, plainLike, touched, vesselLevel, wanted } from './asking.ts';
import { PourRefusal } from './commands.ts';
import type { PourEvent } from './events.ts';
import { netTotal, type PourState } from './state.ts';

/** Minutes from the weighing of the vessel to a reading; 0 where it is not known. */
const minutesSince = (state: PourState, settled: Settled): number =>
  state.weighedAt === null ? 0 : Math.max(0, settled.at - state.weighedAt) / 60_000;

/** Limits as text: to a tenth of a milligram. */
const limitText = (state: PourState, settled: Settled): string =>
  closureLimit(Number(state.facts.balance.limits.d), minutesSince(state, settled)).toFixed(4);

/** Gross at rest less vessel, jumps of the display and sum of the nets. @throws PourRefusal without the vessel */
function closureOf(state: PourState, settled: Settled, vessel: Decimal): Decimal {
  const closure = decimal(settled.g).minus(state.shift).minus(vessel).minus(netTotal(state));
  if (closure.lt(netTotal(state).div(-2)))
    throw new PourRefusal(
      `The balance reads ${settled.g} g: the vessel is not on it.`,
      'Put the vessel back in the middle of the pan, then close.',
    );
  return closure;
}

/** Ends the batch by the reading at rest, or by the values of the closing check where they were taken. */
export function close(state: PourState, settled: Settled | null): PourEvent[] {
  expectPhase(state, ['closing'], 'Closing');
  const { closing } = state;
  if (closing !== null)
    return [
      ...confirmLast(state),
      {
        type: 'closed',
        gross: closing.settled.g,
        closure: plainLike(closing.closure, closing.settled.g),
        settled: closing.settled,
      },
    ];
  atRest(settled);
  if (state.vessel === null || settled === null) return [];
  const closure = closureOf(state, settled, state.vessel);
  return [
    ...confirmLast(state),
    { type: 'closed', gross: settled.g, closure: plainLike(closure, settled.g), settled },
  ];
}

/**
 * First half of the closing check: gross against vessel and sum. From here on the vessel may be lifted.
 * @throws PourRefusal while the reading moves, or where the vessel was tared away: its empty pan is not known
 */
export function weighOff(state: PourState, settled: Settled | null): PourEvent[] {
  expectPhase(state, ['closing'], 'The closing check');
  atRest(settled);
  const { vessel } = state;
  if (vessel === null || settled === null) return [];
  if (vessel.abs().lte(touched(state)))
    throw new PourRefusal(
      'The vessel was tared away at the start: what the empty pan read is not known.',
      'Close the batch without the check.',
    );
  const closure = closureOf(state, settled, vessel);
  const masses = {
    gross: Number(settled.g),
    start: vessel.plus(state.shift).toNumber(),
    nets: netTotal(state).toNumber(),
  };
  const { passes } = closingCheck(masses, Number(state.facts.balance.limits.d), minutesSince(state, settled));
  return [
    ...confirmLast(state),
    {
      type: 'closing-weighed',
      gross: settled.g,
      closure: plainLike(closure, settled.g),
      limit: limitText(state, settled),
      passes,
      settled,
    },
  ];
}

/** Second half: a reading at rest well below the vessel's own is the empty pan, which was at zero at the start. */
export function onPanEmpty(state: PourState, settled: Settled): PourEvent[] {
  const level = vesselLevel(state);
  if (state.closing === null || state.closing.pan !== null || level === null) return [];
  const read = decimal(settled.g);
  const expected = state.shift;
  if (read.gte(level.plus(expected).div(2))) return [];
  const limit = limitText(state, settled);
  const passes = read.minus(expected).abs().lte(decimal(limit));
  return [
    { type: 'pan-checked', pan: settled.g, expected: plainLike(expected, settled.g), limit, passes, settled },
  ];
}

/** What is left of the plan is skipped with one reason. @throws PourRefusal with something in hand already poured */
export function endEarly(state: PourState, reason: string, settled: Settled | null): PourEvent[] {
  expectPhase(state, ['bottle', 'pouring'], 'Ending early');
  const { inHand } = state;
  if (inHand !== null && atRest(settled).minus(inHand.before).abs().gt(touched(state).div(2)))
    throw new PourRefusal(
      'Something of this line is already in the vessel.',
      'Keep what is poured first; then end.',
    );
  if (netTotal(state).lte(0))
    throw new PourRefusal('Nothing is in the vessel yet.', 'Abandon the batch instead.');
  const why = `ended early, ${wanted(reason)}`;
  return state.lines
    .filter((line) => line.end === 'open')
    .map((line) => ({ type: 'skipped', line: line.step.line, reason: why }));
}
