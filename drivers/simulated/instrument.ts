import { Listeners } from '../link/signals.ts';
import { type Clock, realClock } from './clock.ts';
import type { Ask, Dialect } from './dialect.ts';
import { dialectNamed } from './dialects.ts';
import { checkFault, DRIP_G_PER_S, type FaultName, harmed, noisy, shown } from './faults.ts';
import { type Display, Indicator } from './indicator.ts';
import { type PanControls, pan } from './pan.ts';
import { Cell, MODELS, type Model, ROOMS, type Room } from './physics.ts';
import { type Random, seeded } from './seeded.ts';

export type { PanControls } from './pan.ts';

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
  /** Whether it hears commands; true by default. Without stream and commands only its print key sends. */
  readonly hears?: boolean;
}

/** A machine that slept does not make up for hours of physics: more than this is not caught up with, s. */
const LONGEST_CATCH_UP_S = 60;

const TARE_WAIT_MS = 5000;
const STABLE_WAIT_MS = 40_000;
const LONGEST_COMMAND = 64;

/** A command that waits for rest. */
interface Waiting {
  readonly ask: 'tare' | 'zero' | 'when-stable';
  readonly command: string;
  readonly until: number;
}

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
  readonly #faults = new Listeners<FaultName | null>();
  readonly #random: Random;
  #fault: FaultName | null = null;
  #lines = 0;
  #display: Display;
  #streams: boolean;
  readonly #hears: boolean;
  #waiting: Waiting[] = [];
  #command = '';
  #moved = 0;
  #end: (() => void) | null = null;

  constructor(options: InstrumentOptions = {}) {
    this.model = options.model ?? MODELS.A;
    this.rateHz = options.rateHz ?? 10;
    this.dialect = dialectNamed(options.shape ?? 'comma-headed');
    this.#clock = options.clock ?? realClock;
    this.#streams = options.streams ?? true;
    this.#hears = options.hears ?? true;
    this.#cell = new Cell(this.model, options.room ?? ROOMS.quiet, seeded(options.seed ?? 1));
    this.#random = seeded((options.seed ?? 1) + 13);
    this.#indicator = new Indicator(this.model, this.rateHz);
    this.#display = { counts: 0, range: 'inside', stable: false, decimals: this.model.decimals };
    this.controls = pan(this.#cell, () => this.#move());
  }

  /** What the display shows now. */
  get display(): Display {
    return this.#display;
  }

  get fault(): FaultName | null {
    return this.#fault;
  }

  /**
   * Sets what goes wrong from now on; null sets it right again.
   * @throws LinkTrouble "unsupported" when the shape cannot show it
   */
  setFault(fault: FaultName | null): void {
    checkFault(fault, this.dialect);
    this.#move();
    this.#fault = fault;
    this.#cell.seep = fault === 'slow-drip' ? DRIP_G_PER_S : 0;
    this.#faults.tell(fault);
  }

  onFault(listener: (fault: FaultName | null) => void): () => void {
    return this.#faults.add(listener);
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

  /** A key on the balance itself; print sends what the display shows, tare and zero wait for rest. */
  press(key: 'print' | 'tare' | 'zero'): void {
    if (key === 'print') {
      this.#sendReading(null);
      return;
    }
    this.#waiting.push({ ask: key, command: '', until: this.#clock.now() + TARE_WAIT_MS });
    this.#serveWaiting();
  }

  /** Bytes that a host sends to it. */
  receive(bytes: Uint8Array): void {
    if (!this.#hears) return;
    for (const byte of bytes) {
      const letter = String.fromCharCode(byte & 0x7f);
      if (letter === '\r' || letter === '\n') {
        const command = this.#command;
        this.#command = '';
        if (command !== '') this.#obey(command);
      } else if (this.#command === '' && this.dialect.bare?.includes(letter) === true) {
        this.#obey(letter);
      } else if (this.#command.length < LONGEST_COMMAND) this.#command += letter;
    }
  }

  /** Bytes of the line as its present fault harms them on their way, parity bits and all. */
  onTheWay(bytes: Uint8Array): Uint8Array {
    return this.#fault === 'parity-noise' ? noisy(bytes, this.#random) : bytes;
  }

  #send(text: string): void {
    if (text === '') return;
    this.#lines += 1;
    const sent = harmed(this.#fault, text, this.#lines, this.#random);
    if (sent !== null) this.#bytes.tell(Buffer.from(sent, 'latin1'));
  }

  /** Sends what the display shows; `echo` is the command it answers. */
  #sendReading(echo: string | null): void {
    const [display, unit] = shown(this.#fault, this.#display, this.model.d, this.dialect);
    this.#send(this.dialect.say(display, unit, echo));
  }

  /** Moves the physics up to now, so that what a hand does next happens now. */
  #move(): void {
    const now = this.#clock.now();
    if (this.#end !== null && now > this.#moved)
      this.#cell.advance(Math.min(LONGEST_CATCH_UP_S, (now - this.#moved) / 1000));
    this.#moved = now;
  }

  #update(): void {
    this.#move();
    const display = this.#indicator.update(this.#cell.value);
    this.#display = this.#fault === 'stuck' ? { ...this.#display, stable: true } : display;
    this.#serveWaiting();
    if (this.#streams) this.#sendReading(null);
  }

  #serveWaiting(): void {
    const now = this.#clock.now();
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const one of waiting) {
      if (this.#display.stable) this.#act(one);
      else if (now < one.until) this.#waiting.push(one);
      else this.#send(this.dialect.refused);
    }
  }

  #act({ ask, command }: Waiting): void {
    if (ask === 'when-stable') {
      this.#sendReading(command);
      return;
    }
    if (ask === 'tare') this.#indicator.tare();
    else if (!this.#indicator.zero()) {
      this.#send(this.dialect.refused);
      return;
    }
    this.#display = this.#indicator.update(this.#cell.value);
    this.#send(this.dialect.done);
  }

  #obey(command: string): void {
    const { hears } = this.dialect;
    const ask: Ask = (Object.hasOwn(hears, command) ? hears[command] : undefined) ?? 'unknown';
    switch (ask) {
      case 'now':
        this.#sendReading(command);
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
        const wait = ask === 'when-stable' ? STABLE_WAIT_MS : TARE_WAIT_MS;
        this.#waiting.push({ ask, command, until: this.#clock.now() + wait });
        this.#serveWaiting();
      }
    }
  }
}
