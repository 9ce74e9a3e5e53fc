import { type Decimal, type DecimalText, decimal, fixed } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';
import { PourRefusal } from './commands.ts';
import type { PourEvent } from './events.ts';
import { lastPour, type PourState } from './state.ts';

/** Display step of the balance, g. */
export const readability = (state: PourState): Decimal => decimal(state.facts.balance.limits.d);

/** A gross that differs from the last one by more than this was not drift: two steps of the display. */
export const touched = (state: PourState): Decimal => readability(state).times(2);

/** What the display shows with the empty vessel on the pan, g; null before it was weighed. */
export const vesselLevel = (state: PourState): Decimal | null => state.vessel?.plus(state.shift) ?? null;

/** The gross of a reading at rest. @throws PourRefusal while it moves */
export function atRest(settled: Settled | null): Decimal {
  if (settled === null)
    throw new PourRefusal(
      'The reading still moves.',
      'Take your hand away and wait until the figures are solid.',
    );
  return decimal(settled.g);
}

/** @throws PourRefusal where the balance is lost, the vessel off, the pour paused, or the phase another */
export function expectPhase(state: PourState, phases: readonly PourState['phase'][], what: string): void {
  if (state.lost !== null)
    throw new PourRefusal(
      `The balance is not there: ${state.lost}.`,
      'Nothing is captured until it is back.',
    );
  if (state.paused !== null) throw new PourRefusal('The pour is paused.', 'Resume it first.');
  if (state.lifted !== null)
    throw new PourRefusal(
      'The vessel is off the balance.',
      'Put it back in the middle of the pan. If it stands there, say that the display was zeroed.',
    );
  if (!phases.includes(state.phase))
    throw new PourRefusal(`${what} does not fit now.`, 'Follow the present step.');
}

/** @throws PourRefusal when no reason is given */
export function wanted(reason: string): string {
  const text = reason.trim();
  if (text === '') throw new PourRefusal('A reason is needed.', 'Write in a few words why.');
  return text;
}

/** A mass written with as many decimals as the balance's figure. */
export function plainLike(value: Decimal, figure: DecimalText): DecimalText {
  const point = figure.indexOf('.');
  const digits = point < 0 ? 0 : figure.length - point - 1;
  return fixed(value, Math.max(digits, value.decimalPlaces()));
}

export function confirmLast(state: PourState): PourEvent[] {
  const pour = lastPour(state);
  return pour === null || pour.confirmed ? [] : [{ type: 'confirmed', pour: pour.pour }];
}
