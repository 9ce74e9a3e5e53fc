/** The time a simulation lives in, milliseconds: the system's, or one that a test moves by hand. */
export interface Clock {
  now(): number;
  /** Calls `act` every `ms`; the returned function ends it. */
  every(ms: number, act: () => void): () => void;
  /** Resolves after `ms`. */
  sleep(ms: number): Promise<void>;
}

/** Real time. */
export const realClock: Clock = {
  now: Date.now,
  every(ms, act) {
    const timer = setInterval(act, ms);
    return () => clearInterval(timer);
  },
  sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
};

interface Due {
  at: number;
  readonly every: number | null;
  readonly act: () => void;
}

/** Time that stands still until `advance` moves it; faster than real time, and the same in every run. */
export class SteppedClock implements Clock {
  #now: number;
  readonly #due = new Set<Due>();

  constructor(start = 0) {
    this.#now = start;
  }

  now(): number {
    return this.#now;
  }

  every(ms: number, act: () => void): () => void {
    const due: Due = { at: this.#now + ms, every: ms, act };
    this.#due.add(due);
    return () => {
      this.#due.delete(due);
    };
  }

  sleep(ms: number): Promise<void> {
    return new Promise((resolve) => {
      this.#due.add({ at: this.#now + ms, every: null, act: resolve });
    });
  }

  /** Moves time on by `ms`, calling in their order whatever falls due on the way. */
  advance(ms: number): void {
    const end = this.#now + ms;
    for (;;) {
      let next: Due | null = null;
      for (const due of this.#due) if (due.at <= end && (next === null || due.at < next.at)) next = due;
      if (next === null) break;
      this.#now = Math.max(this.#now, next.at);
      if (next.every === null) this.#due.delete(next);
      else next.at += next.every;
      next.act();
    }
    this.#now = end;
  }

  /** Moves time on by `ms` in steps, letting promises that were waiting go on in between. */
  async run(ms: number, step = 10): Promise<void> {
    for (let left = ms; left > 0; left -= step) {
      this.advance(Math.min(step, left));
      await new Promise((resolve) => setImmediate(resolve));
    }
  }
}
