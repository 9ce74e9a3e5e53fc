import type { LinkState, Observation } from '../../core/weighing/reading.ts';

/** A key of the balance that a host may press for the person. */
export type BalanceKey = 'tare' | 'zero';

/**
 * A balance as the bench sees it, whatever it is reached by. A link turns whatever comes in into observations;
 * it opens at `start`, takes itself up again after a loss, and leaves nothing open after `stop`.
 */
export interface Balance {
  /** How it is reached, in words: "simulated balance", "/dev/ttyUSB0 at 9600 8N1". */
  readonly what: string;
  start(): void;
  /** @throws LinkTrouble when the key cannot be pressed from here */
  press(key: BalanceKey): Promise<void>;
  /** Closes for good. The port is free when the promise resolves. */
  stop(): Promise<void>;
  /** Both return a function that stops listening. */
  onObservation(listener: (observation: Observation) => void): () => void;
  onState(listener: (state: LinkState) => void): () => void;
  readonly state: LinkState;
}

/** What is wrong with the way to a balance, where, and what to do next. */
export class LinkTrouble extends Error {
  readonly kind:
    | 'unknown-port'
    | 'busy'
    | 'no-rights'
    | 'bad-settings'
    | 'unknown-shape'
    | 'lost'
    | 'bad-figure'
    | 'unsupported';
  readonly where: string;
  readonly next: string;
  constructor(kind: LinkTrouble['kind'], message: string, where: string, next: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'LinkTrouble';
    this.kind = kind;
    this.where = where;
    this.next = next;
  }
}
