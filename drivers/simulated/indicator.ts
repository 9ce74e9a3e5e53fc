import type { Model } from './physics.ts';

/** What the balance shows at one moment. */
export interface Display {
  /** Net in display steps; null beyond the range. */
  readonly counts: number | null;
  readonly range: 'inside' | 'over' | 'under';
  readonly stable: boolean;
  readonly decimals: number;
}

/** At rest: the signal has stayed within one step for so long, s. */
const REST_S = 0.5;
/** Beyond capacity by more than this many steps is over; below zero by this share of capacity is under. */
const OVER_STEPS = 9;
const UNDER_SHARE = 0.1;
/** Zero may be set within this share of capacity. */
const ZERO_SHARE = 0.02;
/** Zero tracking moves by at most this much, d/s (the limit of OIML R 76-1, 4.5.7). */
const TRACK_RATE = 0.5;

/** Rounds the signal to display steps; keeps zero and tare; tells rest. `update` is called at the display rate. */
export class Indicator {
  readonly #model: Model;
  readonly #rateHz: number;
  #recent: number[] = [];
  #signal = 0;
  #zero = 0;
  #tare = 0;
  #counts = 0;

  constructor(model: Model, rateHz: number) {
    this.#model = model;
    this.#rateHz = rateHz;
  }

  /** Takes the filtered signal, g. */
  update(signal: number): Display {
    const { d, hysteresis, trackingBand } = this.#model;
    this.#signal = signal;
    const keep = Math.max(2, Math.round(REST_S * this.#rateHz) + 1);
    this.#recent = [...this.#recent.slice(1 - keep), signal];
    const net = signal - this.#zero - this.#tare;
    if (this.stable && Math.abs(net) <= trackingBand * d) {
      const step = (TRACK_RATE * d) / this.#rateHz;
      this.#zero += Math.max(-step, Math.min(step, net));
    }
    const steps = (signal - this.#zero - this.#tare) / d;
    if (Math.abs(steps - this.#counts) > 0.5 + hysteresis) this.#counts = Math.round(steps);
    return this.#display();
  }

  /** Whether the signal is at rest. */
  get stable(): boolean {
    const full = this.#recent.length >= Math.max(2, Math.round(REST_S * this.#rateHz) + 1);
    return full && Math.max(...this.#recent) - Math.min(...this.#recent) <= this.#model.d;
  }

  /** Takes the present load as tare. */
  tare(): void {
    this.#tare = this.#signal - this.#zero;
    this.#counts = 0;
  }

  /** Takes the present load as zero and clears the tare; false when it is too far from the balance's own zero. */
  zero(): boolean {
    if (Math.abs(this.#signal) > ZERO_SHARE * this.#model.capacity) return false;
    this.#zero = this.#signal;
    this.#tare = 0;
    this.#counts = 0;
    return true;
  }

  #display(): Display {
    const { d, decimals, capacity } = this.#model;
    const gross = this.#signal - this.#zero;
    const range =
      gross > capacity + OVER_STEPS * d ? 'over' : gross < -UNDER_SHARE * capacity ? 'under' : 'inside';
    const counts = range === 'inside' ? this.#counts : null;
    return { counts: counts === 0 ? 0 : counts, range, stable: this.stable, decimals };
  }
}

/** The shown net as plain decimal text, "-0.05". */
export function figureText(counts: number, decimals: number): string {
  const digits = String(Math.abs(counts)).padStart(decimals + 1, '0');
  const cut = digits.length - decimals;
  const text = decimals === 0 ? digits : `${digits.slice(0, cut)}.${digits.slice(cut)}`;
  return counts < 0 ? `-${text}` : text;
}
