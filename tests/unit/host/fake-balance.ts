import type { LinkState, Observation, Reading } from '../../../core/weighing/reading.ts';
import type { Balance } from '../../../drivers/link/balance.ts';

/** A balance that says what a test tells it to, on the test's own clock. */
export class FakeBalance implements Balance {
  readonly what = 'balance of the test';
  state: LinkState = { kind: 'none' };
  at = 1_764_000_000_000;
  stopped = false;
  #observers = new Set<(observation: Observation) => void>();
  #watchers = new Set<(state: LinkState) => void>();

  start(): void {
    this.link({ kind: 'live', what: this.what, shape: 'test' });
  }

  press(): Promise<void> {
    return Promise.resolve();
  }

  stop(): Promise<void> {
    this.stopped = true;
    return Promise.resolve();
  }

  onObservation(listener: (observation: Observation) => void): () => void {
    this.#observers.add(listener);
    return () => this.#observers.delete(listener);
  }

  onState(listener: (state: LinkState) => void): () => void {
    this.#watchers.add(listener);
    return () => this.#watchers.delete(listener);
  }

  link(state: LinkState): void {
    this.state = state;
    for (const listener of this.#watchers) listener(state);
  }

  say(observation: Observation): void {
    for (const listener of this.#observers) listener(observation);
  }

  /** A tenth of a second later. */
  tick(): number {
    this.at += 100;
    return this.at;
  }

  reading(g: string): Reading {
    return { kind: 'weight', g, figure: g, digits: 2, unit: 'g', stable: null, at: this.tick() };
  }

  /** One reading. */
  read(g: string): void {
    this.say(this.reading(g));
  }

  /** The same figure long enough to be settled whatever the rule: eight seconds at ten a second. */
  rest(g: string): void {
    for (let n = 0; n < 80; n += 1) this.read(g);
  }
}
