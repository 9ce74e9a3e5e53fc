import type { Reading } from '../../core/weighing/reading.ts';
import { figureText, Indicator } from '../../drivers/simulated/indicator.ts';
import { Cell, MODELS, type Model, ROOMS, type Room } from '../../drivers/simulated/physics.ts';
import { normal, type Random, seeded } from '../../drivers/simulated/seeded.ts';

export type RoomName = 'quiet' | 'normal' | 'draughty';
export type TypeName = 'A' | 'B' | 'C' | 'D';

/** Rooms as a balance of 0.001 g feels them, in its own steps. */
const FINE_ROOMS: Record<RoomName, Room> = {
  quiet: { noise: 0.15, draught: 0.3, gustEvery: 120, gustHeight: 2, vibration: 0.05, drift: 0.5 },
  normal: { noise: 0.2, draught: 0.7, gustEvery: 30, gustHeight: 3, vibration: 0.05, drift: 0.5 },
  draughty: { noise: 0.3, draught: 1.6, gustEvery: 8, gustHeight: 5, vibration: 0.05, drift: 0.5 },
};

/** One pour on a simulated balance and the gap behind it. Times in ms, masses in g. */
export interface Trace {
  readonly type: TypeName;
  readonly room: RoomName;
  readonly d: number;
  readonly drops: readonly { readonly at: number; readonly g: number }[];
  /** When the last drop let go, when the person says "done", and when the first drop of the next pour lets go. */
  readonly last: number;
  readonly done: number;
  readonly next: number;
  /** The mass on the pan before the pour, after it, and after the first drop of the next pour. */
  readonly before: number;
  readonly truth: number;
  /** Readings from two seconds before the pour to five seconds after the next onset, by rate in Hz. */
  readonly readings: ReadonlyMap<number, readonly Reading[]>;
}

export interface TraceOrder {
  readonly type: TypeName;
  readonly room: RoomName;
  readonly drops: number;
  /** Mean mass of a drop, g, and its spread as a share. */
  readonly drop: number;
  readonly spread?: number;
  /** Seconds between drops, and from the last drop to the next pour. */
  readonly every: number;
  readonly gap: number;
  readonly rates: readonly number[];
  readonly seed: number;
  /** Whether lines carry the balance's own stable flag. */
  readonly flags?: boolean;
  /** Greatest delay of a line on its way, ms; each line has its own, and their order is kept. */
  readonly jitter?: number;
}

const FALL_S = 0.1;
const WARM_S = 12;

export const modelOf = (type: TypeName): Model => MODELS[type];
export const roomOf = (type: TypeName, room: RoomName): Room =>
  type === 'C' ? FINE_ROOMS[room] : ROOMS[room];

/** A reading as a line of this balance would give it. */
export function readingOf(counts: number, decimals: number, at: number, stable: boolean | null): Reading {
  const g = figureText(counts, decimals);
  return { kind: 'weight', g, figure: g, digits: decimals, unit: 'g', stable, at };
}

/** A balance read at several rates at once: one cell, one indicator each. */
export class Bench {
  readonly cell: Cell;
  readonly readings = new Map<number, Reading[]>();
  readonly #indicators: { hz: number; indicator: Indicator; due: number; sent: number }[];
  readonly #model: Model;
  readonly #order: { flags: boolean; jitter: number };
  readonly #random: Random;
  now = 0;

  constructor(
    type: TypeName,
    room: RoomName,
    rates: readonly number[],
    seed: number,
    order: { flags?: boolean | undefined; jitter?: number | undefined } = {},
  ) {
    this.#model = { ...modelOf(type), trackingBand: 0 };
    this.cell = new Cell(this.#model, roomOf(type, room), seeded(seed));
    this.#random = seeded(seed ^ 0x5bd1e995);
    this.#order = { flags: order.flags ?? false, jitter: order.jitter ?? 0 };
    this.#indicators = rates.map((hz) => {
      this.readings.set(hz, []);
      return { hz, indicator: new Indicator(this.#model, hz), due: this.#random() / hz, sent: 0 };
    });
  }

  /** Moves on to `until` seconds; each reading is kept and told to `hear`. */
  run(until: number, hear?: (reading: Reading, hz: number) => void): void {
    while (this.now < until - 1e-9) {
      const due = Math.min(until, ...this.#indicators.map((one) => one.due));
      this.cell.advance(due - this.now);
      this.now = due;
      for (const one of this.#indicators) {
        if (one.due > this.now + 1e-9) continue;
        one.due += 1 / one.hz;
        const display = one.indicator.update(this.cell.value);
        if (display.counts === null) continue;
        one.sent = Math.max(one.sent, this.now * 1000 + this.#order.jitter * this.#random());
        const stable = this.#order.flags ? display.stable : null;
        const reading = readingOf(display.counts, this.#model.decimals, one.sent, stable);
        this.readings.get(one.hz)?.push(reading);
        hear?.(reading, one.hz);
      }
    }
  }
}

/** Makes one trace; the same order gives the same trace. */
export function trace(order: TraceOrder): Trace {
  const random = seeded(order.seed);
  const { d } = modelOf(order.type);
  const bench = new Bench(order.type, order.room, order.rates, order.seed * 7919 + 17, order);
  const vessel = 25 + 10 * random();
  bench.cell.load = vessel;
  bench.run(WARM_S);
  const drops: { at: number; g: number }[] = [];
  const mean = order.drop * (0.85 + 0.3 * random());
  for (let n = 0; n < order.drops; n++) {
    if (n > 0) bench.run(bench.now + order.every * Math.max(0.5, 1 + 0.15 * normal(random)));
    const g = mean * Math.max(0.4, 1 + (order.spread ?? 0.08) * normal(random));
    bench.cell.drop(g, FALL_S);
    drops.push({ at: bench.now * 1000, g });
  }
  const truth = bench.cell.load;
  const last = bench.now;
  const done = last + 0.05 + 0.45 * random();
  bench.run(last + order.gap);
  bench.cell.drop(mean, FALL_S);
  bench.run(bench.now + 5);
  const readings = new Map(
    [...bench.readings].map(([hz, all]) => [hz, all.filter((one) => one.at >= (WARM_S - 6) * 1000)]),
  );
  return {
    type: order.type,
    room: order.room,
    d,
    drops,
    last: last * 1000,
    done: done * 1000,
    next: (last + order.gap) * 1000,
    before: vessel,
    truth,
    readings,
  };
}

const ROOM_MIX: readonly RoomName[] = ['quiet', 'quiet', 'normal', 'normal', 'draughty'];

/** `count` traces: types in turn, rooms mixed 40/40/20, 1 to 12 drops of 15, 28 or 48 mg. */
export function traces(
  count: number,
  seed: number,
  options: {
    types: readonly TypeName[];
    rates: readonly number[];
    gap: number;
    flags?: boolean;
    jitter?: number;
  },
): Trace[] {
  const random = seeded(seed);
  return Array.from({ length: count }, (_, n) => {
    const type = options.types[n % options.types.length] ?? 'A';
    return trace({
      type,
      room: ROOM_MIX[Math.floor(random() * ROOM_MIX.length)] ?? 'normal',
      drops: 1 + Math.floor(12 * random()),
      drop: [0.015, 0.028, 0.048][Math.floor(3 * random())] ?? 0.028,
      every: 0.9,
      gap: options.gap,
      rates: options.rates,
      seed: Math.floor(random() * 2 ** 31),
      ...(options.flags === undefined ? {} : { flags: options.flags }),
      ...(options.jitter === undefined ? {} : { jitter: options.jitter }),
    });
  });
}
