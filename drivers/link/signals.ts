import type { LinkState, Observation } from '../../core/weighing/reading.ts';

/** Listeners of one kind of message, and nothing else. */
export class Listeners<T> {
  readonly #all = new Set<(message: T) => void>();

  /** @returns a function that stops the listener */
  add(listener: (message: T) => void): () => void {
    this.#all.add(listener);
    return () => {
      this.#all.delete(listener);
    };
  }

  tell(message: T): void {
    for (const listener of [...this.#all]) listener(message);
  }
}

/** What every link tells: observations, and its state whenever that changes. */
export class LinkSignals {
  readonly #observations = new Listeners<Observation>();
  readonly #states = new Listeners<LinkState>();
  #state: LinkState = { kind: 'none' };

  get state(): LinkState {
    return this.#state;
  }

  set(state: LinkState): void {
    if (JSON.stringify(state) === JSON.stringify(this.#state)) return;
    this.#state = state;
    this.#states.tell(state);
  }

  observe(observation: Observation): void {
    this.#observations.tell(observation);
  }

  onObservation(listener: (observation: Observation) => void): () => void {
    return this.#observations.add(listener);
  }

  onState(listener: (state: LinkState) => void): () => void {
    return this.#states.add(listener);
  }
}
