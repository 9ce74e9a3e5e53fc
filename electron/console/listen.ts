import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import { serialBalance, tryPort } from '../../drivers/link/serial.ts';
import { type Talk, untilEnded } from './talk.ts';

export interface ListenOptions {
  readonly port: string;
  /** Name of a line shape, or "recognise". */
  readonly shape: string;
  /** Line settings as "9600 8N1". */
  readonly line: string;
  /** Ends after so many readings; null goes on. Refused lines do not count. */
  readonly count: number | null;
  /** Ends after so many seconds; null goes on. */
  readonly seconds: number | null;
}

/** One line of output for what the balance sent. `g` is null where there is no mass in it. */
export function lineOfObservation(observation: Observation): object {
  const raw = observation.raw ?? null;
  switch (observation.kind) {
    case 'weight': {
      const { g, digits, unit, stable } = observation;
      return { g, digits, unit, stable, over: false, raw };
    }
    case 'out-of-range': {
      const over = observation.way === 'over';
      return { g: null, digits: null, unit: null, stable: null, over, ...(over ? {} : { under: true }), raw };
    }
    case 'not-a-weight':
      return { refused: raw, why: `not a weight: ${observation.what}` };
    case 'fault':
      return { refused: raw, why: `the balance reports: ${observation.what}` };
    case 'noise':
      return { refused: raw, why: `no weight in it: ${observation.what}` };
    case 'refused':
      return { refused: raw, why: observation.why };
  }
}

const isReading = (observation: Observation): boolean =>
  observation.kind === 'weight' || observation.kind === 'out-of-range';

/** What a state of the link tells a person; null where there is nothing to say. */
export function wordsOfLink(state: LinkState): string | null {
  switch (state.kind) {
    case 'lost':
      return state.why;
    case 'silent':
      return state.advice;
    case 'opening':
    case 'live':
      return state.advice ?? null;
    default:
      return null;
  }
}

/**
 * Writes what a balance sends, one JSON object a line, until count, seconds or the talk ends it.
 * @returns 0, or 1 when it ended before the count was reached or without a single reading
 * @throws LinkTrouble when the port cannot be opened or the settings are wrong
 */
export async function listen(options: ListenOptions, talk: Talk): Promise<number> {
  const { port: path, shape, line } = options;
  const balance = serialBalance({ path, shape, line });
  await tryPort(path, line);
  let readings = 0;
  const counted = new Promise<void>((resolve) => {
    balance.onObservation((observation) => {
      if (options.count !== null && readings >= options.count) return;
      talk.emit(lineOfObservation(observation));
      if (!isReading(observation)) return;
      readings += 1;
      if (readings === options.count) resolve();
    });
  });
  balance.onState((state) => {
    const words = wordsOfLink(state);
    if (words !== null) talk.say(words);
  });
  let timer: NodeJS.Timeout | undefined;
  const timed = new Promise<void>((resolve) => {
    if (options.seconds !== null) timer = setTimeout(resolve, options.seconds * 1000);
  });
  balance.start();
  await Promise.race([counted, timed, untilEnded(talk)]);
  clearTimeout(timer);
  await balance.stop();
  if (readings === 0 && options.seconds !== null && !talk.ended.aborted)
    talk.say(`No reading came in ${options.seconds} s.`);
  const enough = options.count === null ? readings > 0 || talk.ended.aborted : readings >= options.count;
  return enough || talk.ended.reason === 'output closed' ? 0 : 1;
}
