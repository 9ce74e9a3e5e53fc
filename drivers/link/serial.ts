import type { SerialPort } from 'serialport';
import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import type { Shape } from '../frames/shape.ts';
import { shapeNamed } from '../frames/shapes.ts';
import { type Balance, type BalanceKey, LinkTrouble } from './balance.ts';
import { Intake } from './intake.ts';
import { type LineSettings, outgoing, parseLineSettings } from './line-settings.ts';
import { closePort, nodeOf, openPort, wake } from './port.ts';
import { LinkSignals } from './signals.ts';

export interface SerialOptions {
  /** Path of the port: "/dev/ttyUSB0", "COM3". */
  readonly path: string;
  /** Name of a line shape, or "recognise". */
  readonly shape: string;
  /** Line settings as "9600 8N1". */
  readonly line: string;
  /** Unit of the display as the person says it, for shapes that never send one. */
  readonly unit?: string;
  /** Clock for times of arrival, milliseconds; the system's by default. */
  readonly now?: () => number;
  /** Asked before each opening where the balance is plugged in now; `path` by default. What it throws is told as lost. */
  readonly locate?: () => Promise<string>;
}

/** Without a line that can be read for so long the balance counts as silent. */
export const SILENT_AFTER_MS = 2000;

/** A lost port is tried again this often, so that it is back within two seconds. */
const RETRY_MS = 700;
const WATCH_MS = 250;
/** After so long without a byte the device node is looked at. */
const LOOK_AFTER_MS = 500;

const SILENCE =
  'The port is open but the balance sends nothing. It may be switched off or asleep, print only on its print key or ' +
  'only at rest, or wait for a handshake: press Print, load the pan, or set its output to continuous.';
const garble = (why: string | null): string =>
  `Bytes arrive but no line that can be read: ${why ?? 'line settings or line shape differ from the balance'}. Compare line settings, line shape and unit with its menu.`;

/**
 * A balance on a serial port. Opens at `start`, raises DTR and RTS (many balances send nothing without), says in its
 * state what hinders it, and takes the port up again by itself after a loss. Nothing that was left in the port's
 * buffer before the opening is read.
 * @throws LinkTrouble "bad-settings" or "unknown-shape", before anything is opened
 */
export function serialBalance(options: SerialOptions): Balance {
  return new SerialBalance(
    options,
    options.shape === 'recognise' ? null : shapeNamed(options.shape),
    parseLineSettings(options.line),
  );
}

/**
 * Opens a port and closes it again, to say at once what is wrong with it.
 * @throws LinkTrouble "unknown-port", "busy", "no-rights", "bad-settings" or "lost"
 */
export async function tryPort(path: string, line: string): Promise<void> {
  const port = await openPort(path, parseLineSettings(line), 'none');
  await closePort(port);
}

class SerialBalance implements Balance {
  #path: string;
  readonly #locate: () => Promise<string>;
  readonly #text: string;
  readonly #shape: Shape | null;
  readonly #line: LineSettings;
  readonly #now: () => number;
  readonly #unit: string | null;
  readonly #signals = new LinkSignals();
  #port: SerialPort | null = null;
  #node: string | null = null;
  #intake: Intake;
  /** Why the last line was refused; null where it was read. */
  #refused: string | null = null;
  #lastHeard = 0;
  #lastByte = 0;
  #lastCommand = 0;
  #running = false;
  #opening: Promise<void> = Promise.resolve();
  #retry: NodeJS.Timeout | undefined;
  #watch: NodeJS.Timeout | undefined;

  constructor(options: SerialOptions, shape: Shape | null, line: LineSettings) {
    this.#path = options.path;
    this.#locate = options.locate ?? (async () => options.path);
    this.#text = options.line;
    this.#shape = shape;
    this.#line = line;
    this.#now = options.now ?? Date.now;
    this.#unit = options.unit ?? null;
    this.#intake = new Intake(line, shape, this.#unit);
  }

  get what(): string {
    return `${this.#path} at ${this.#text}`;
  }

  get state(): LinkState {
    return this.#signals.state;
  }

  onObservation(listener: (observation: Observation) => void): () => void {
    return this.#signals.onObservation(listener);
  }

  onState(listener: (state: LinkState) => void): () => void {
    return this.#signals.onState(listener);
  }

  start(): void {
    if (this.#running) return;
    this.#running = true;
    this.#signals.set({ kind: 'opening', what: this.what });
    this.#watch = setInterval(() => this.#watchOver(), WATCH_MS);
    this.#open();
  }

  async stop(): Promise<void> {
    this.#running = false;
    clearInterval(this.#watch);
    clearTimeout(this.#retry);
    await this.#opening;
    const port = this.#port;
    this.#port = null;
    if (port !== null) await closePort(port);
    this.#signals.set({ kind: 'none' });
  }

  async press(key: BalanceKey): Promise<void> {
    const port = this.#port;
    const shape = this.#intake.shape;
    if (port === null || shape === null)
      throw new LinkTrouble('lost', 'The balance is not connected.', this.what, 'Wait until it is back.');
    const command = shape.commands[key];
    if (command === undefined)
      throw new LinkTrouble(
        'unsupported',
        `Balances of the shape "${shape.name}" take no command for ${key}.`,
        this.what,
        `Press the ${key} key on the balance.`,
      );
    const wait = this.#lastCommand + shape.leastInterval - this.#now();
    this.#lastCommand = this.#now() + Math.max(0, wait);
    if (wait > 0) await new Promise((resolve) => setTimeout(resolve, wait));
    await this.#write(port, command);
  }

  #write(port: SerialPort, command: string): Promise<void> {
    return new Promise((resolve, reject) => {
      port.write(outgoing(command, this.#line));
      port.drain((error) =>
        error
          ? reject(
              new LinkTrouble(
                'lost',
                `The command could not be sent: ${error.message}.`,
                this.what,
                'Check the plug.',
                error,
              ),
            )
          : resolve(),
      );
    });
  }

  #open(): void {
    this.#opening = this.#located().then(
      (port) => this.#opened(port),
      (error: unknown) =>
        this.#lost(error instanceof LinkTrouble ? `${error.message} ${error.next}` : String(error)),
    );
  }

  async #located(): Promise<SerialPort> {
    this.#path = await this.#locate();
    return openPort(this.#path, this.#line, this.#shape?.flow ?? 'none');
  }

  #opened(port: SerialPort): void {
    this.#port = port;
    if (!this.#running) return;
    this.#intake = new Intake(this.#line, this.#shape, this.#unit);
    this.#refused = null;
    this.#lastHeard = this.#now();
    this.#lastByte = this.#lastHeard;
    this.#node = nodeOf(this.#path);
    this.#signals.set({ kind: 'opening', what: this.what });
    port.on('close', () => this.#left(port, 'the device went away'));
    port.on('error', (error) => this.#left(port, error.message));
    wake(port, (error) => this.#left(port, error.message));
    port.on('data', (bytes: Buffer) => this.#take(port, bytes));
  }

  #take(port: SerialPort, bytes: Buffer): void {
    if (port !== this.#port || !this.#running) return;
    this.#lastByte = this.#now();
    const { observations, understood } = this.#intake.take(bytes, this.#now());
    if (understood) this.#heard();
    for (const observation of observations) {
      this.#refused = observation.kind === 'refused' ? observation.why : null;
      this.#signals.observe(observation);
    }
  }

  #heard(): void {
    this.#lastHeard = this.#now();
    const { shape, advice } = this.#intake;
    if (shape !== null) this.#signals.set({ kind: 'live', what: this.what, shape: shape.name });
    else this.#signals.set({ kind: 'opening', what: this.what, ...(advice === null ? {} : { advice }) });
  }

  #watchOver(): void {
    const port = this.#port;
    if (port === null) return;
    const now = this.#now();
    /* A hang-up while bytes are on their way is not told: reads give nothing for ever. The node is gone, though. */
    if (now - this.#lastByte >= LOOK_AFTER_MS && nodeOf(this.#path) !== this.#node) {
      this.#left(port, 'the device went away');
      return;
    }
    if (now - this.#lastHeard < SILENT_AFTER_MS) return;
    const advice = this.#intake.bytesSince > 0 ? garble(this.#refused) : SILENCE;
    this.#signals.set({ kind: 'silent', what: this.what, advice });
  }

  /** The port closed by itself or failed; our own closing has taken it out of `#port` before. */
  #left(port: SerialPort, why: string): void {
    if (port !== this.#port) return;
    this.#port = null;
    this.#lost(
      `The connection to ${this.#path} was lost: ${why}. Check the plug; it is taken up again by itself.`,
    );
    closePort(port).catch((error: unknown) => {
      this.#lost(`The port ${this.#path} cannot be closed after a loss: ${String(error)}.`);
    });
  }

  #lost(why: string): void {
    if (!this.#running) return;
    this.#signals.set({ kind: 'lost', what: this.what, why, retrying: true });
    clearTimeout(this.#retry);
    this.#retry = setTimeout(() => this.#open(), RETRY_MS);
  }
}
