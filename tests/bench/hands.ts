import { guide } from '../../core/weighing/guidance.ts';
import type { Reading } from '../../core/weighing/reading.ts';
import { type SettlingState, settle, unsettled } from '../../core/weighing/settling.ts';
import { normal, type Random, seeded } from '../../drivers/simulated/seeded.ts';
import { Bench, modelOf, type RoomName, type TypeName } from './traces.ts';

export type Hand = 'watching' | 'slow' | 'guided';

export interface HandOrder {
  readonly hand: Hand;
  readonly type: TypeName;
  readonly room: RoomName;
  /** Mean drop, g. */
  readonly drop: number;
  readonly drops: number;
  readonly hz: number;
  readonly seed: number;
}

export interface Outcome {
  /** Mass above the target, in drops. */
  readonly error: number;
  /** From the first drop to the figure at rest, s. */
  readonly seconds: number;
}

/** Seconds: seeing to deciding, and the hand; a drop at its rhythm, and at the slow one. */
const REACTION = 0.25;
const HAND = 0.12;
const RHYTHM = 0.9;
const SLOW = 2.6;
const TICK = 0.02;
const LONGEST = 90;
/** What the program takes for the balance's lag: it is not told the type. */
const LAG = 0.45;
/** How well the drop is known from before, as a share. */
const KNOWN = 0.05;

interface Scene {
  readonly bench: Bench;
  readonly order: HandOrder;
  readonly random: Random;
  readonly target: number;
  readonly known: number;
  readonly d: number;
  readonly base: number;
  settling: SettlingState;
  seen: Reading[];
  given: number;
}

function open(order: HandOrder): Scene {
  const random = seeded(order.seed);
  const { d } = modelOf(order.type);
  const bench = new Bench(order.type, order.room, [order.hz], order.seed * 31 + 7);
  const vessel = 25 + 10 * random();
  bench.cell.load = vessel;
  bench.run(12);
  const mean = order.drop * (0.85 + 0.3 * random());
  const start = bench.readings.get(order.hz)?.at(-1);
  return {
    bench,
    order: { ...order, drop: mean },
    random,
    target: mean * order.drops,
    known: mean * (1 + KNOWN * normal(random)),
    d,
    base: Number(start?.g ?? vessel),
    settling: unsettled,
    seen: [],
    given: 0,
  };
}

function step(scene: Scene): void {
  scene.bench.run(scene.bench.now + TICK, (reading) => {
    scene.settling = settle(scene.settling, reading, { pouring: true });
    scene.seen = [...scene.seen.slice(-60), reading];
  });
}

function drip(scene: Scene): void {
  scene.bench.cell.drop(scene.order.drop * Math.max(0.4, 1 + 0.08 * normal(scene.random)), 0.1);
  scene.given = scene.bench.now;
}

const beat = (scene: Scene, every: number): number => every * Math.max(0.5, 1 + 0.15 * normal(scene.random));
const delay = (scene: Scene): number => REACTION * (1 + 0.15 * normal(scene.random)) + HAND;
const net = (scene: Scene): number => Number(scene.seen.at(-1)?.g ?? scene.base) - scene.base;

/** Waits until the figure rests after the last drop, as the window shows it. */
function waitForRest(scene: Scene): void {
  const until = scene.bench.now + 12;
  while (scene.bench.now < until) {
    step(scene);
    const { settled } = scene.settling;
    if (settled !== null && scene.bench.now > scene.given + 0.7 && settled.at > scene.given * 1000 + 350)
      return;
  }
}

/** Drips until the display has reached the target; what is seen is obeyed after reaction and hand. */
function watch(scene: Scene, slows: boolean): void {
  let next = scene.bench.now;
  let stop = Number.POSITIVE_INFINITY;
  let slow = Number.POSITIVE_INFINITY;
  while (scene.bench.now < stop) {
    if (scene.bench.now >= next) {
      drip(scene);
      next = scene.bench.now + beat(scene, scene.bench.now >= slow ? SLOW : RHYTHM);
    }
    step(scene);
    const left = scene.target - net(scene);
    if (left <= scene.d / 2 && stop === Number.POSITIVE_INFINITY) stop = scene.bench.now + delay(scene);
    if (slows && left <= 3.5 * scene.known && slow === Number.POSITIVE_INFINITY) {
      slow = scene.bench.now + delay(scene);
      next = Math.max(next, scene.given + SLOW);
    }
  }
  waitForRest(scene);
}

/** Mass a second by the display over the last two seconds, g/s. */
function rateOf(scene: Scene): number {
  const last = scene.seen.at(-1);
  const first = scene.seen.find((one) => last !== undefined && last.at - one.at <= 2000);
  if (first === undefined || last === undefined || last.at - first.at < 500) return 0;
  return Math.max(0, (Number(last.g) - Number(first.g)) / ((last.at - first.at) / 1000));
}

function cue(scene: Scene, atRest: boolean) {
  const toGo = scene.target - net(scene);
  const half = Math.max(0.01 * scene.target, scene.d);
  return guide({
    toGo,
    low: toGo - half,
    high: toGo + half,
    d: scene.d,
    drop: { mean: scene.known, u: KNOWN * scene.known },
    rate: atRest ? 0 : rateOf(scene),
    lag: LAG,
    hz: scene.order.hz,
    atRest,
  });
}

/** Drips until the guide says pause; then gives each count it tells, and waits. */
function follow(scene: Scene): void {
  let next = scene.bench.now;
  let stop = Number.POSITIVE_INFINITY;
  while (scene.bench.now < stop) {
    if (scene.bench.now >= next) {
      drip(scene);
      next = scene.bench.now + beat(scene, RHYTHM);
    }
    step(scene);
    const { phase } = cue(scene, false);
    if ((phase === 'pause' || phase === 'stop') && stop === Number.POSITIVE_INFINITY)
      stop = scene.bench.now + delay(scene);
  }
  const end = scene.bench.now + LONGEST;
  while (scene.bench.now < end) {
    waitForRest(scene);
    const { phase, drops, about } = cue(scene, true);
    const single = phase === 'touch-off' && scene.target - net(scene) > 0.6 * scene.known;
    const free = phase === 'slow' || phase === 'stream';
    const count = phase === 'count' ? (drops ?? 1) : free ? Math.max(1, (about ?? 3) - 2) : single ? 1 : 0;
    if (count < 1) return;
    const starts = scene.bench.now + delay(scene);
    while (scene.bench.now < starts) step(scene);
    for (let n = 0; n < count; n++) {
      drip(scene);
      const wait = scene.bench.now + (n < count - 1 ? beat(scene, RHYTHM) : 0);
      while (scene.bench.now < wait) step(scene);
    }
  }
}

/** One pour by a simulated hand; the same order gives the same outcome. */
export function pour(order: HandOrder): Outcome {
  const scene = open(order);
  const before = scene.bench.cell.load;
  const began = scene.bench.now;
  if (order.hand === 'guided') follow(scene);
  else watch(scene, order.hand === 'slow');
  const error = (scene.bench.cell.load - before - scene.target) / scene.order.drop;
  return { error, seconds: scene.bench.now - began };
}
