import type { Clock } from '../../drivers/simulated/clock.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { normal, seeded } from '../../drivers/simulated/seeded.ts';
import type { PourLine, StepLine, WithdrawLine } from './pour-line.ts';

export interface HandOptions {
  readonly instrument: Instrument;
  readonly clock: Clock;
  /** The same seed repeats the same hand. */
  readonly seed?: number;
  /** Empty vessel that it puts down, g. */
  readonly vessel?: number;
  /** A line into which it lets some drops too many fall, once. */
  readonly slip?: { readonly line: string; readonly drops: number };
}

/** What the hand is told of a step, in g: the output line "step". */
interface Task {
  readonly line: string;
  /** The gross it began at. */
  readonly base: number;
  readonly aim: number;
  readonly low: number;
  readonly high: number;
  readonly drop: number;
}

/** What is to be taken out, in g: the output line "withdraw". */
interface Taking {
  readonly base: number;
  readonly aim: number;
  readonly low: number;
}

type Doing =
  | { readonly what: 'nothing' }
  | { readonly what: 'vessel'; readonly at: number; readonly g: number }
  | { readonly what: 'fetching'; readonly until: number }
  | { readonly what: 'taking'; readonly taking: Taking; readonly from: number }
  | { readonly what: 'streaming' }
  | { readonly what: 'waiting'; readonly from: number }
  | { readonly what: 'dropping'; readonly left: number; readonly at: number };

/** How often it looks at the display, ms. */
const LOOK_MS = 50;
/** From seeing to doing (about 250 ms to see, 120 ms to move: dynamics of hands, typical values). */
const REACTION_S = 0.37;
/** Half-rise time of a 0.01 g balance's display, s: what a practised hand has learnt to expect. */
const LAG_S = 0.3;
const FETCH_MS = 900;
const DROP_EVERY_MS = 420;
/** The display counts as still when its figure has not changed for so long, ms. */
const STILL_MS = 700;
/** Stream: the rate falls with what is to go, between these, g/s. */
const APPROACH_S = 1.7;
const SLOWEST = 0.2;
const FASTEST = 8;
/** What a disposable pipette draws at once, g. */
const PIPETTE_G = 2.5;
/** So many drops are left for counting. */
const LEAVE_DROPS = 3;
/** From drop to drop, and from this pipette's drops to the stated ones (typical values). */
const DROP_CV = 0.05;
const PIPETTE_CV = 0.04;

/**
 * A simulated hand at the simulated balance. It knows only what a person knows: the step as it is told, and the figure
 * on the balance's display, which lags. It streams, stops short, waits, counts drops, and waits again.
 */
export class Hand {
  readonly #options: HandOptions;
  readonly #random: () => number;
  readonly #seen: { g: number; at: number }[] = [];
  readonly #end: () => void;
  #task: Task | null = null;
  #doing: Doing = { what: 'nothing' };
  #slipped = false;
  /** The screen says that the settled reading is under the window. */
  #toldUnder = false;
  #pipette = 1;

  constructor(options: HandOptions) {
    this.#options = options;
    this.#random = seeded(options.seed ?? 7);
    this.#end = options.clock.every(LOOK_MS, () => this.#look());
  }

  /** Takes its hands away for good. */
  stop(): void {
    this.#rest();
    this.#end();
  }

  /** Hears an output line of the pour. */
  hear(told: PourLine): void {
    const { vessel = 48.5 } = this.#options;
    if (told.event === 'started') this.#putVessel(vessel);
    else if (told.event === 'taken-up') this.#putVessel(Number(told.gross_g ?? vessel));
    else if (told.event === 'step') this.#begin(told);
    else if (told.event === 'under') this.#toldUnder = true;
    else if (told.event === 'withdraw') this.#beginTaking(told);
    else if (told.event === 'capture' || told.event === 'withdrawn') this.#rest();
  }

  #putVessel(g: number): void {
    this.#doing = { what: 'vessel', at: this.#now() + FETCH_MS, g };
  }

  #now(): number {
    return this.#options.clock.now();
  }

  #rest(): void {
    this.#options.instrument.controls.stream(0);
    this.#doing = { what: 'nothing' };
    this.#task = null;
  }

  #begin(step: StepLine): void {
    const [low, high] = step.window_g;
    this.#task = {
      line: step.line,
      base: Number(step.before_g),
      aim: Number(step.target_g),
      low: Number(low),
      high: Number(high),
      drop: Number(step.drop_g),
    };
    this.#toldUnder = false;
    this.#pipette = 1 + PIPETTE_CV * normal(this.#random);
    this.#doing = { what: 'fetching', until: this.#now() + FETCH_MS };
  }

  #beginTaking({ before_g, target_g, window_g }: WithdrawLine): void {
    this.#task = null;
    const taking = { base: Number(before_g), aim: Number(target_g), low: Number(window_g[0]) };
    this.#doing = { what: 'taking', taking, from: this.#now() + FETCH_MS };
  }

  /** Draws a pipette, waits for the display, and draws what is still to go out. */
  #take(taking: Taking, from: number, figure: number, now: number): void {
    if (now - from < STILL_MS || !this.#still(now)) return;
    const out = taking.base - figure;
    if (out >= taking.low) return;
    const { d } = this.#options.instrument.model;
    this.#options.instrument.controls.withdraw(Math.min(PIPETTE_G, taking.aim - out + d / 2));
    this.#doing = { what: 'taking', taking, from: now };
  }

  /** The figure on the display as it was one reaction ago; null beyond the range. */
  #figure(): number | null {
    const then = this.#now() - REACTION_S * 1000;
    return this.#seen.findLast((one) => one.at <= then)?.g ?? null;
  }

  #look(): void {
    const now = this.#now();
    const { instrument } = this.#options;
    const { counts } = instrument.display;
    if (counts !== null) this.#seen.push({ g: counts * instrument.model.d, at: now });
    if (this.#seen.length > 100) this.#seen.shift();
    const figure = this.#figure();
    if (figure === null) return;
    if (this.#doing.what === 'vessel' && now >= this.#doing.at) {
      instrument.controls.putVessel(this.#doing.g);
      this.#doing = this.#task === null ? { what: 'nothing' } : { what: 'fetching', until: now + FETCH_MS };
    } else if (this.#doing.what === 'taking') this.#take(this.#doing.taking, this.#doing.from, figure, now);
    else if (this.#task !== null) this.#pour(this.#task, figure - this.#task.base, now);
  }

  #pour(task: Task, net: number, now: number): void {
    const doing = this.#doing;
    switch (doing.what) {
      case 'fetching':
        if (now >= doing.until && this.#still(now)) this.#doing = { what: 'streaming' };
        return;
      case 'streaming':
        this.#stream(task, net, now);
        return;
      case 'waiting':
        if (now - doing.from >= STILL_MS && this.#still(now)) this.#judge(task, net, now);
        return;
      case 'dropping':
        this.#drop(task, doing, now);
        return;
      case 'nothing':
      case 'taking':
      case 'vessel':
        return;
    }
  }

  /** Whether the display has shown one figure for STILL_MS, as far as the eye has seen it. */
  #still(now: number): boolean {
    const last = this.#figure();
    const then = now - REACTION_S * 1000;
    const seen = this.#seen.filter((one) => one.at <= then && one.at > then - STILL_MS);
    return seen.length > 0 && seen.every((one) => one.g === last);
  }

  #stream(task: Task, net: number, now: number): void {
    const toGo = task.aim - net;
    const rate = Math.min(FASTEST, Math.max(SLOWEST, toGo / APPROACH_S));
    const leave = Math.max((LEAVE_DROPS + this.#slipsFor(task)) * task.drop, (task.aim - task.low) / 2);
    if (toGo - rate * (LAG_S + REACTION_S) <= leave) {
      this.#options.instrument.controls.stream(0);
      this.#doing = { what: 'waiting', from: now };
    } else this.#options.instrument.controls.stream(rate);
  }

  #slipsFor(task: Task): number {
    const { slip } = this.#options;
    return !this.#slipped && slip?.line === task.line ? slip.drops : 0;
  }

  #judge(task: Task, net: number, now: number): void {
    if (net > task.high) return;
    const slips = this.#slipsFor(task);
    if (slips > 0) this.#slipped = true;
    const drops = Math.round((task.aim - net) / task.drop);
    const due = net >= task.low && slips === 0 ? 0 : Math.max(drops, this.#toldUnder ? 1 : 0);
    this.#toldUnder = false;
    const left = due + slips;
    if (left > 0) this.#doing = { what: 'dropping', left, at: now };
  }

  #drop(task: Task, doing: Extract<Doing, { what: 'dropping' }>, now: number): void {
    if (now < doing.at) return;
    const mass = task.drop * this.#pipette * (1 + DROP_CV * normal(this.#random));
    this.#options.instrument.controls.addDrop(Math.max(mass, task.drop / 4));
    this.#doing =
      doing.left > 1
        ? { ...doing, left: doing.left - 1, at: now + DROP_EVERY_MS }
        : { what: 'waiting', from: now };
  }
}
