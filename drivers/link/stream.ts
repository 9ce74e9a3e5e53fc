import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import type { Balance } from './balance.ts';

/** What comes from a balance, in order: observations, and changes of its state. */
export type Message =
  | { readonly kind: 'observation'; readonly observation: Observation }
  | { readonly kind: 'state'; readonly state: LinkState }
  /** The reader was too slow: so many messages before the next one are missing. */
  | { readonly kind: 'missed'; readonly count: number };

/** At most so many messages wait for a slow reader; further ones are counted as missed. */
const WAITING = 10_000;

/**
 * Messages of a balance as an async iterator, from now until `signal` aborts. Start and stop of the balance remain
 * the caller's.
 */
export async function* messages(balance: Balance, signal: AbortSignal): AsyncGenerator<Message, void, void> {
  let waiting: Message[] = [];
  let wake = (): void => {};
  const take = (message: Message): void => {
    const last = waiting.at(-1);
    if (waiting.length < WAITING) waiting.push(message);
    else if (last?.kind === 'missed') waiting[WAITING - 1] = { kind: 'missed', count: last.count + 1 };
    else waiting[WAITING - 1] = { kind: 'missed', count: 2 };
    wake();
  };
  const ends = [
    balance.onObservation((observation) => take({ kind: 'observation', observation })),
    balance.onState((state) => take({ kind: 'state', state })),
  ];
  const abort = (): void => wake();
  signal.addEventListener('abort', abort);
  try {
    while (!signal.aborted) {
      const batch = waiting;
      waiting = [];
      for (const message of batch) {
        yield message;
        if (signal.aborted) return;
      }
      if (waiting.length === 0 && !signal.aborted)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
    }
  } finally {
    signal.removeEventListener('abort', abort);
    for (const end of ends) end();
  }
}
