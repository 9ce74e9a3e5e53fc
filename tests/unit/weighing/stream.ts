import type { Reading } from '../../../core/weighing/reading.ts';
import {
  type Settled,
  type SettlingMeans,
  type SettlingState,
  settle,
  unsettled,
} from '../../../core/weighing/settling.ts';

export const reading = (g: string, at: number, stable: boolean | null = null): Reading => ({
  kind: 'weight',
  g,
  figure: g,
  digits: 2,
  unit: 'g',
  stable,
  at,
});

/** Readings one after another, told in figures and counts; every 100 ms unless said otherwise. */
export class Stream {
  state: SettlingState = unsettled;
  /** Each figure that was told, in order. */
  readonly told: Settled[] = [];
  at: number;
  readonly every: number;
  readonly means: SettlingMeans;

  constructor(every = 100, means: SettlingMeans = {}) {
    this.every = every;
    this.at = 0;
    this.means = means;
  }

  /** `count` readings of one figure. */
  show(g: string, count = 1, stable: boolean | null = null): this {
    for (let n = 0; n < count; n++) {
      this.at += this.every;
      const before = this.state.settled;
      this.state = settle(this.state, reading(g, this.at, stable), this.means);
      const { settled } = this.state;
      if (settled !== null && settled !== before && settled !== this.told.at(-1)) this.told.push(settled);
    }
    return this;
  }

  /** One reading of each figure. */
  each(...figures: readonly string[]): this {
    for (const g of figures) this.show(g);
    return this;
  }

  silence(ms: number): this {
    this.at += ms;
    return this;
  }

  /** Clears as the caller does when a pour begins. */
  clear(): this {
    this.state = unsettled;
    return this;
  }

  get g(): string | null {
    return this.state.settled?.g ?? null;
  }

  get figures(): string[] {
    return this.told.map((one) => one.g);
  }
}
