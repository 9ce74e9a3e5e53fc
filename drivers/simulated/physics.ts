import { exponential, normal, type Random } from './seeded.ts';

/** How a balance is built. Masses are grams, times seconds; "d" is one display step. */
export interface Model {
  /** Display step, g, and its count of decimals. */
  readonly d: number;
  readonly decimals: number;
  /** Above this the display shows overload, g. */
  readonly capacity: number;
  /** Natural frequency of the loaded cell, Hz, and its damping ratio (below 1). */
  readonly cellHz: number;
  readonly damping: number;
  /** Moving average, then one pole, s. */
  readonly averageS: number;
  readonly poleS: number;
  /** The shown figure changes only when it is off by more than half a step and this, d. */
  readonly hysteresis: number;
  /** A resting net within this of zero is drawn to zero, d; 0 switches it off. */
  readonly trackingBand: number;
  /** Share of the load that creeps in over some minutes. */
  readonly creep: number;
}

/** Standard deviations and burst heights in d, times in seconds. */
export interface Room {
  readonly noise: number;
  readonly draught: number;
  /** Mean time between gusts; 0 for none. */
  readonly gustEvery: number;
  readonly gustHeight: number;
  readonly vibration: number;
  /** d a minute. */
  readonly drift: number;
  /** Drift of a balance just switched on, d in all; it dies away with a time constant of ten minutes. */
  readonly warmUp?: number;
}

/** Types A, B, D (0.01 g) and C (0.001 g): strain gauge or force compensation, light or heavy filter. */
export const MODELS = {
  A: {
    d: 0.01,
    decimals: 2,
    capacity: 200,
    cellHz: 25,
    damping: 0.1,
    averageS: 0.4,
    poleS: 0.15,
    hysteresis: 0.1,
    trackingBand: 0.5,
    creep: 2e-4,
  },
  B: {
    d: 0.01,
    decimals: 2,
    capacity: 600,
    cellHz: 6,
    damping: 0.7,
    averageS: 0.3,
    poleS: 0.12,
    hysteresis: 0,
    trackingBand: 0.5,
    creep: 2e-5,
  },
  C: {
    d: 0.001,
    decimals: 3,
    capacity: 320,
    cellHz: 5,
    damping: 0.7,
    averageS: 0.5,
    poleS: 0.2,
    hysteresis: 0,
    trackingBand: 0.5,
    creep: 2e-5,
  },
  D: {
    d: 0.01,
    decimals: 2,
    capacity: 300,
    cellHz: 20,
    damping: 0.1,
    averageS: 0.8,
    poleS: 0.3,
    hysteresis: 0.2,
    trackingBand: 0.5,
    creep: 2e-4,
  },
} as const satisfies Record<string, Model>;

export const ROOMS = {
  still: { noise: 0, draught: 0, gustEvery: 0, gustHeight: 0, vibration: 0, drift: 0 },
  quiet: { noise: 0.08, draught: 0.08, gustEvery: 120, gustHeight: 0.8, vibration: 0.05, drift: 0.1 },
  normal: { noise: 0.15, draught: 0.2, gustEvery: 30, gustHeight: 1.2, vibration: 0.05, drift: 0.1 },
  draughty: { noise: 0.3, draught: 0.5, gustEvery: 8, gustHeight: 1.8, vibration: 0.05, drift: 0.1 },
} as const satisfies Record<string, Room>;

/** Ticks of the simulation a second. */
const TICKS = 80;
const DT = 1 / TICKS;
const DRAUGHT_S = 0.6;
const CREEP_S = 300;
const WARM_UP_S = 600;
/** A big change that lasts this long empties the average, d and s. */
const FAST_STEP_D = 8;
const FAST_STEP_TICKS = Math.round(0.15 * TICKS);

/** Standard deviation of white noise of unit deviation behind an average of `n` and a pole of gain `a`. */
function noiseGain(n: number, a: number): number {
  let y = 0;
  let power = 0;
  for (let k = 0; k < n || y > 1e-6; k++) {
    y += a * ((k < n ? 1 / n : 0) - y);
    power += y * y;
  }
  return Math.sqrt(power);
}

/**
 * Load to filtered signal: a second-order cell, a moving average, one pole; with noise, draughts, vibration, drift
 * and creep. `advance` moves it on in ticks of 1/80 s; `value` is the filtered force in grams before any rounding.
 */
export class Cell {
  readonly #model: Model;
  readonly #room: Room;
  readonly #random: Random;
  readonly #ring: Float64Array;
  readonly #gain: number;
  /** Standard deviation before the filter that leaves the room's noise after it, g. */
  readonly #whiteSd: number;
  readonly #drift: number;
  readonly #vibrationHz: number;
  #time = 0;
  #x = 0;
  #v = 0;
  #sum = 0;
  #place = 0;
  #y = 0;
  #far = 0;
  #draught = 0;
  #gust = { until: 0, height: 0 };
  #creep = 0;
  #impulse = 0;
  /** True load, g, and a flow onto the pan, g/s. */
  load = 0;
  flow = 0;
  /** A leak beside the hand's own flow, g/s. */
  seep = 0;
  /** A further force that is no mass, g: a hand, a cable. */
  touch = 0;
  /** Share by which every load is shown too heavy: adjusted wrongly, or standing off the middle of the pan. */
  span = 0;
  offCentre = 0;

  constructor(model: Model, room: Room, random: Random) {
    this.#model = model;
    this.#room = room;
    this.#random = random;
    const spread = 0.85 + 0.3 * random();
    this.#ring = new Float64Array(Math.max(1, Math.round(model.averageS * spread * TICKS)));
    this.#gain = 1 - Math.exp(-DT / (model.poleS * spread));
    this.#whiteSd = (room.noise * model.d) / noiseGain(this.#ring.length, this.#gain);
    this.#drift = room.drift * (0.3 + 1.2 * random()) * (random() < 0.5 ? -1 : 1);
    this.#vibrationHz = 7 + 13 * random();
  }

  get value(): number {
    return this.#y;
  }

  /** A drop of `g` that falls for `fallS` strikes with the impulse m g t: as a force for one tick. */
  drop(g: number, fallS: number): void {
    this.load += g;
    this.#impulse += (g * fallS) / DT;
  }

  advance(seconds: number): void {
    const until = this.#time + seconds;
    while (this.#time + DT / 2 < until) this.#tick();
  }

  #tick(): void {
    this.#time += DT;
    this.load = Math.max(0, this.load + (this.flow + this.seep) * DT);
    this.#creep += ((this.#model.creep * this.load - this.#creep) * DT) / CREEP_S;
    this.#step(
      this.load * (1 + this.span + this.offCentre) +
        this.#creep +
        this.touch +
        this.#impulse +
        this.#disturbance(),
    );
    this.#impulse = 0;
    this.#filter(this.#x + this.#whiteNoise());
  }

  /** The cell x'' + 2 z w x' + w^2 x = w^2 u, exact over one tick of constant u. */
  #step(u: number): void {
    const w = 2 * Math.PI * this.#model.cellHz;
    const z = this.#model.damping;
    const wd = w * Math.sqrt(1 - z * z);
    const decay = Math.exp(-z * w * DT);
    const c = Math.cos(wd * DT);
    const s = Math.sin(wd * DT);
    const e = this.#x - u;
    const v = this.#v;
    this.#x = u + decay * (e * c + ((v + z * w * e) / wd) * s);
    this.#v = decay * (v * c - ((w * w * e + z * w * v) / wd) * s);
  }

  #filter(x: number): void {
    const { d } = this.#model;
    const away = x - this.#y;
    const way = Math.abs(away) > FAST_STEP_D * d ? Math.sign(away) : 0;
    this.#far = way === Math.sign(this.#far) ? this.#far + way : way;
    if (Math.abs(this.#far) >= FAST_STEP_TICKS) {
      this.#ring.fill(x);
      this.#sum = x * this.#ring.length;
      this.#far = 0;
    }
    this.#sum += x - (this.#ring[this.#place] ?? 0);
    this.#ring[this.#place] = x;
    this.#place = (this.#place + 1) % this.#ring.length;
    this.#y += this.#gain * (this.#sum / this.#ring.length - this.#y);
  }

  #whiteNoise(): number {
    return this.#whiteSd === 0 ? 0 : normal(this.#random) * this.#whiteSd;
  }

  #disturbance(): number {
    const { d } = this.#model;
    const room = this.#room;
    const phi = Math.exp(-DT / DRAUGHT_S);
    if (room.draught > 0)
      this.#draught = phi * this.#draught + room.draught * Math.sqrt(1 - phi * phi) * normal(this.#random);
    if (room.gustEvery > 0 && this.#time > this.#gust.until && this.#random() < DT / room.gustEvery) {
      const height = exponential(this.#random, room.gustHeight) * (this.#random() < 0.5 ? -1 : 1);
      this.#gust = { until: this.#time + 0.4 + 1.6 * this.#random(), height };
    }
    const gust = this.#time <= this.#gust.until ? this.#gust.height : 0;
    const shake = room.vibration * Math.sin(2 * Math.PI * this.#vibrationHz * this.#time);
    const warming = (room.warmUp ?? 0) * (1 - Math.exp(-this.#time / WARM_UP_S));
    return d * (this.#draught + gust + shake + (this.#drift * this.#time) / 60 + warming);
  }
}
