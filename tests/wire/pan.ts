import type { onTestFinished } from 'vitest';
import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import type { Balance } from '../../drivers/link/balance.ts';
import { Instrument, type InstrumentOptions } from '../../drivers/simulated/instrument.ts';
import { ROOMS } from '../../drivers/simulated/physics.ts';
import { type ServedPort, servePty } from '../../drivers/simulated/pty.ts';

type Finished = typeof onTestFinished;

/** A simulated balance on a pseudo-terminal for the length of one test. */
export async function served(
  finished: Finished,
  options: InstrumentOptions = {},
  line = '9600 8N1',
): Promise<{ instrument: Instrument; port: ServedPort }> {
  const instrument = new Instrument({ room: ROOMS.still, rateHz: 20, ...options });
  const port = await servePty(instrument, line);
  finished(async () => {
    instrument.stop();
    await port.close();
  });
  return { instrument, port };
}

/** Starts a balance for the length of one test and gathers what it tells. */
export function listening(
  finished: Finished,
  balance: Balance,
): { observations: Observation[]; states: LinkState[] } {
  const observations: Observation[] = [];
  const states: LinkState[] = [];
  balance.onObservation((one) => observations.push(one));
  balance.onState((state) => states.push(state));
  finished(() => balance.stop());
  balance.start();
  return { observations, states };
}

/** Weights in grams, with the word "stable" where the balance says so. */
export const weights = (all: readonly Observation[]): string[] =>
  all.flatMap((one) => (one.kind === 'weight' ? [`${one.g}${one.stable === true ? ' stable' : ''}`] : []));
