import { Listeners } from '../link/signals.ts';
import { type Clock, realClock } from './clock.ts';
import type { Asked, Dialect } from './dialect.ts';
import { dialectNamed } from './dialects.ts';
import { type Display, Indicator } from './indicator.ts';
import { Cell, MODELS, type Model, ROOMS, type Room } from './physics.ts';
import { seeded } from './seeded.ts';

export interface InstrumentOptions {
  /** Line shape it speaks; "comma-headed" by default. */
  readonly shape?: string;
  readonly model?: Model;
  readonly room?: Room;
  /** Display updates a second, 1 to 20. */
  readonly rateHz?: number;
  /** The same seed repeats the same run. */
  readonly seed?: number;
  readonly clock?: Clock;
  /** Whether it sends each display update unasked; true by default. */
  readonly streams?: boolean;
}

/** What a hand can do at the simulated balance. Masses are grams. */
export interface PanControls {
  /** One drop into the vessel; it strikes as if fallen for `fallS` seconds (0.07 by default, about 2.5 cm). */
  addDrop(g: number, fallS?: number): void;
  /** A steady stream in g/s from now on; 0 ends it. */
  stream(gPerS: number): void;
  /** Puts a vessel on the pan: an empty one of `g`, or without `g` the one that was lifted, with what is in it. */
  putVessel(g?: number): void;
  liftVessel(): void;
  /** Takes liquid out of the vessel, at most what is in it. */
  withdraw(g: number): void;
  /** A force that is no mass, g: a hand on the pan, a cable; 0 ends it. */
  touch(g: number): void;
  /** The truth: what stands on the pan, whatever the balance shows. */
  truth(): { readonly vessel: number; readonly contents: number; readonly onPan: boolean };
}

const TARE_WAIT_MS = 5000;
const STABLE_WAIT_MS = 40_000;
const LONGEST_COMMAND = 64;
const DEFAULT_VESSEL = 50;

/** A simulated balance with its data socket: bytes out, bytes in, and a pan. */
export class Instrument {
  readonly rateHz: number;
  readonly model: Model;
  readonly dialect: Dialect;
  readonly controls: PanControls;
  readonly #cell: Cell;
  readonly #indicator: Indicator;
  readonly #clock: Clock;
  readonly #bytes = new Listeners<Buffer>();
  #display: Display;
  #streams: boolean;
  #waiting: { asked: 'tare' | 'zero' | 'when-stable'; until: number }[] = [];
  #command = '';
  #moved = 0;
  #end: (() => void) | null = null;

  constructor(options: InstrumentOptions = {}) {
    this.model = options.model ?? MODELS.A;
    this.rateHz = options.rateHz ?? 10;
    this.dialect = dialectNamed(options.shape ?? 'comma-headed');
    this.#clock = options.clock ?? realClock;
    this.#streams = options.streams ?? true;
    this.#cell = new Cell(this.model, options.room ?? ROOMS.quiet, seeded(options.seed ?? 1));
    this.#indicator = new Indicator(this.model, this.rateHz);
    this.#display = { counts: 0, range: 'inside', stable: false, decimals: this.model.decimals };
    this.controls = pan(this.#cell, () => this.#move());
  }

  /** What the display shows now. */
  get display(): Display {
    return this.#display;
  }

  start(): void {
    if (this.#end !== null) return;
    this.#moved = this.#clock.now();
    this.#end = this.#clock.every(1000 / this.rateHz, () => this.#update());
  }

  stop(): void {
    this.#end?.();
    this.#end = null;
    this.#waiting = [];
  }

  /** Hears the bytes it sends; the returned function ends that. */
  onBytes(listener: (bytes: Buffer) => void): () => void {
    return this.#bytes.add(listener);
  }

  /** Bytes that a host sends to it. */
  receive(bytes: Uint8Array): void {
    for (const byte of bytes) {
      const letter = String.fromCharCode(byte & 0x7f);
      if (letter === '\r' || letter === '\n') {
        const command = this.#command;
        this.#command = '';
        if (command !== '') this.#obey(this.dialect.hear(command));
      } else if (this.#command === '' && this.dialect.bare?.includes(letter) === true) {
        this.#obey(this.dialect.hear(letter));
      } else if (this.#command.length < LONGEST_COMMAND) this.#command += letter;
    }
  }

  #send(text: string): void {
    if (text !== '') this.#bytes.tell(Buffer.from(text, 'latin1'));
  }

  /** Moves the physics up to now, so that what a hand does next happens now. */
  #move(): void {
    const now = this.#clock.now();
    if (this.#end !== null && now > this.#moved) this.#cell.advance((now - this.#moved) / 1000);
    this.#moved = now;
  }

  #update(): void {
    this.#move();
    this.#display = this.#indicator.update(this.#cell.value);
    this.#serveWaiting();
    if (this.#streams) this.#send(this.dialect.say(this.#display));
  }

  #serveWaiting(): void {
    const now = this.#clock.now();
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const one of waiting) {
      if (this.#display.stable) this.#act(one.asked);
      else if (now < one.until) this.#waiting.push(one);
      else this.#send(this.dialect.refused);
    }
  }

  #act(asked: 'tare' | 'zero' | 'when-stable'): void {
    if (asked === 'when-stable') {
      this.#send(this.dialect.say(this.#display));
      return;
    }
    if (asked === 'tare') this.#indicator.tare();
    else if (!this.#indicator.zero()) {
      this.#send(this.dialect.refused);
      return;
    }
    this.#display = this.#indicator.update(this.#cell.value);
    this.#send(this.dialect.done);
  }

  #obey(command: Asked): void {
    switch (command.do) {
      case 'now':
        this.#send(this.dialect.say(this.#display));
        break;
      case 'stream':
        this.#streams = true;
        break;
      case 'stop-stream':
        this.#streams = false;
        break;
      case 'identify':
        this.#send(this.dialect.identity ?? this.dialect.unknown);
        break;
      case 'unknown':
        this.#send(this.dialect.unknown);
        break;
      default: {
        const wait = command.do === 'when-stable' ? STABLE_WAIT_MS : TARE_WAIT_MS;
        this.#waiting.push({ asked: command.do, until: this.#clock.now() + wait });
        this.#serveWaiting();
      }
    }
  }
}

function pan(cell: Cell, move: () => void): PanControls {
  let vessel = DEFAULT_VESSEL;
  let contents = 0;
  let onPan = false;
  const contentsNow = (): number => (onPan ? Math.max(0, cell.load - vessel) : contents);
  return {
    addDrop(g, fallS = 0.07) {
      move();
      cell.drop(g, fallS);
    },
    stream(gPerS) {
      move();
      cell.flow = gPerS;
    },
    putVessel(g) {
      move();
      if (g !== undefined) {
        vessel = g;
        contents = 0;
      } else contents = contentsNow();
      cell.load = vessel + contents;
      onPan = true;
    },
    liftVessel() {
      move();
      contents = contentsNow();
      cell.load = 0;
      cell.flow = 0;
      onPan = false;
    },
    withdraw(g) {
      move();
      if (onPan) cell.load -= Math.min(g, contentsNow());
    },
    touch(g) {
      move();
      cell.touch = g;
    },
    truth() {
      move();
      return { vessel, contents: contentsNow(), onPan };
    },
  };
}
