import type { SerialPort } from 'serialport';
import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import type { Shape } from '../frames/shape.ts';
import { shapeNamed } from '../frames/shapes.ts';
import { type Balance, type BalanceKey, LinkTrouble } from './balance.ts';
import { Commands } from './commands.ts';
import { Intake } from './intake.ts';
import { type LineSettings, outgoing, parseLineSettings } from './line-settings.ts';
import { closePort, nodeOf, openPort, wake } from './port.ts';
import { askable } from './questions.ts';
import { LinkSignals } from './signals.ts';
import { type Clocks, MACHINE_CLOCKS, Wakeful, wokenWords } from './wakeful.ts';

export interface SerialOptions {
  /** Path of the port: "/dev/ttyUSB0", "COM3". */
  readonly path: string;
  /** Name of a line shape, or "recognise". */
  readonly shape: string;
  /** Line settings as "9600 8N1". */
  readonly line: string;
  /** Unit of the display as the person says it, for shapes that never send one. */
  readonly unit?: string;
  /** The command it is asked with again and again, for a balance that only answers; one that its shape takes. */
  readonly ask?: string;
  /** It sends one figure whenever its print key is pressed. */
  readonly byKey?: boolean;
  /** Clock for times of arrival, milliseconds; the system's by default. */
  readonly now?: () => number;
  /** Clocks by which sleep of this machine is noticed; the system's by default. */
  readonly clocks?: Clocks;
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
const NO_ANSWER =
  'The port is open but the balance does not answer. It may be switched off or asleep, or answer only at rest: switch ' +
  'it on, let the pan rest, look whether the plug is in.';
const garble = (why: string | null): string =>
  `Bytes arrive but no line that can be read: ${why ?? 'line settings or line shape differ from the balance'}. Compare line settings, line shape and unit with its menu.`;

/**
 * A balance on a serial port. Opens at `start`, raises DTR and RTS (many balances send nothing without), says in its
 * state what hinders it, and takes the port up again by itself after a loss. Nothing that was left in the port's
 * buffer before the opening is read.
 * @throws LinkTrouble "bad-settings" or "unknown-shape", before anything is opened
 */
export function serialBalance(options: SerialOptions): Balance {
  const shape = options.shape === 'recognise' ? null : shapeNamed(options.shape);
  if (options.ask !== undefined && (shape === null || !askable(shape).includes(options.ask)))
    throw new LinkTrouble(
      'bad-settings',
      `${JSON.stringify(options.ask)} is no command that asks a balance of the shape "${options.shape}" for its figure.`,
      options.path,
      'Choose the balance again on the Balance screen.',
    );
  return new SerialBalance(options, shape, parseLineSettings(options.line));
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
  readonly #options: SerialOptions;
  readonly #shape: Shape | null;
  readonly #line: LineSettings;
  readonly #now: () => number;
  readonly #wakeful: Wakeful;
  readonly #signals = new LinkSignals();
  #port: SerialPort | null = null;
  #node: string | null = null;
  #intake: Intake;
  /** Why the last line was refused; null where it was read. */
  #refused: string | null = null;
  #lastHeard = 0;
  #lastByte = 0;
  #commands: Commands | null = null;
  #running = false;
  #opening: Promise<void> = Promise.resolve();
  #retry: NodeJS.Timeout | undefined;
  #watch: NodeJS.Timeout | undefined;

  constructor(options: SerialOptions, shape: Shape | null, line: LineSettings) {
    this.#path = options.path;
    this.#locate = options.locate ?? (async () => options.path);
    this.#options = options;
    this.#shape = shape;
    this.#line = line;
    this.#now = options.now ?? Date.now;
    this.#wakeful = new Wakeful(options.clocks ?? MACHINE_CLOCKS);
    this.#intake = this.#newIntake();
  }

  get what(): string {
    const { line, ask, byKey } = this.#options;
    return `${this.#path} at ${line}${byKey === true ? ', by its print key' : ask === undefined ? '' : ', asked'}`;
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
    this.#endCommands();
    if (port !== null) await closePort(port);
    this.#signals.set({ kind: 'none' });
  }

  async press(key: BalanceKey): Promise<void> {
    const commands = this.#commands;
    const shape = this.#intake.shape;
    if (commands === null || shape === null)
      throw new LinkTrouble('lost', 'The balance is not connected.', this.what, 'Wait until it is back.');
    const byKey = this.#options.byKey === true;
    const command = byKey ? undefined : shape.commands[key];
    if (command === undefined)
      throw new LinkTrouble(
        'unsupported',
        byKey
          ? 'A balance that sends on its print key takes no command.'
          : `Balances of the shape "${shape.name}" take no command for ${key}.`,
        this.what,
        `Press the ${key} key on the balance.`,
      );
    await commands.send(command);
    /* Until a command has had its time no question can be put: that is no silence. */
    if (this.#options.ask !== undefined) this.#lastHeard = this.#now();
    if (commands !== this.#commands)
      throw new LinkTrouble(
        'lost',
        'The balance was lost before the command was sent.',
        this.what,
        'Press again when it is back.',
      );
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
    this.#wakeful.look();
    this.#intake = this.#newIntake();
    this.#refused = null;
    this.#lastHeard = this.#now();
    this.#lastByte = this.#lastHeard;
    this.#node = nodeOf(this.#path);
    this.#signals.set({ kind: 'opening', what: this.what });
    port.on('close', () => this.#left(port, 'the device went away'));
    port.on('error', (error) => this.#left(port, error.message));
    wake(port, (error) => this.#left(port, error.message));
    port.on('data', (bytes: Buffer) => this.#take(port, bytes));
    const commands = new Commands(
      (command) => this.#write(port, command),
      () => this.#intake.shape?.leastInterval ?? 0,
    );
    this.#commands = commands;
    const { ask, byKey } = this.#options;
    if (byKey === true && this.#shape !== null) this.#heard();
    else if (ask !== undefined)
      this.#askOn(port, commands, ask).catch((error: unknown) =>
        this.#left(port, error instanceof Error ? error.message : String(error)),
      );
  }

  /** Puts the question again and again, as fast as the shape allows, as long as this port is open. */
  async #askOn(port: SerialPort, commands: Commands, question: string): Promise<void> {
    while (port === this.#port && this.#running) await commands.ask(question);
  }

  #newIntake(): Intake {
    const { unit, ask, byKey } = this.#options;
    const waits = ask !== undefined || byKey === true;
    return new Intake(this.#line, this.#shape, {
      ...(unit === undefined ? {} : { said: unit }),
      ...(waits ? { quietSince: this.#now() } : {}),
    });
  }

  #endCommands(): void {
    this.#commands?.close();
    this.#commands = null;
  }

  #take(port: SerialPort, bytes: Buffer): void {
    if (port !== this.#port || !this.#running || this.#slept(port)) return;
    this.#lastByte = this.#now();
    const { observations, understood } = this.#intake.take(bytes, this.#now());
    if (understood) {
      this.#commands?.answered();
      this.#heard();
    }
    for (const observation of observations) {
      this.#refused = observation.kind === 'refused' ? observation.why : null;
      this.#signals.observe(this.#options.byKey === true ? printed(observation) : observation);
    }
  }

  #heard(): void {
    this.#lastHeard = this.#now();
    const { shape, advice } = this.#intake;
    if (shape !== null) this.#signals.set(this.#live(shape));
    else this.#signals.set({ kind: 'opening', what: this.what, ...(advice === null ? {} : { advice }) });
  }

  #live(shape: Shape): Extract<LinkState, { kind: 'live' }> {
    const warning = this.#intake.warning(this.#now());
    return {
      kind: 'live',
      what: this.what,
      shape: shape.name,
      ...(this.#options.byKey === true ? { byKey: true } : {}),
      ...(warning === null ? {} : { advice: warning }),
    };
  }

  #watchOver(): void {
    const port = this.#port;
    if (port === null || this.#slept(port)) return;
    const now = this.#now();
    /* A hang-up while bytes are on their way is not told: reads give nothing for ever. The node is gone, though. */
    if (now - this.#lastByte >= LOOK_AFTER_MS && nodeOf(this.#path) !== this.#node) {
      this.#left(port, 'the device went away');
      return;
    }
    const { ask, byKey } = this.#options;
    if (byKey === true || now - this.#lastHeard < SILENT_AFTER_MS) return;
    const silence = ask === undefined ? SILENCE : NO_ANSWER;
    const advice = this.#intake.bytesSince > 0 ? garble(this.#refused) : silence;
    this.#signals.set({ kind: 'silent', what: this.what, advice });
  }

  /** After sleep the age of what waits in the buffers is not known: the port is opened anew. */
  #slept(port: SerialPort): boolean {
    const away = this.#wakeful.look();
    if (away === null) return false;
    this.#drop(port, wokenWords(away, this.#path));
    return true;
  }

  /** The port closed by itself or failed; our own closing has taken it out of `#port` before. */
  #left(port: SerialPort, why: string): void {
    this.#drop(
      port,
      `The connection to ${this.#path} was lost: ${why}. Check the plug; it is taken up again by itself.`,
    );
  }

  #drop(port: SerialPort, why: string): void {
    if (port !== this.#port) return;
    this.#port = null;
    this.#endCommands();
    this.#lost(why);
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

/** A figure at rest that came by the print key stands alone, as a typed one does. */
function printed(observation: Observation): Observation {
  if (observation.kind !== 'weight' || observation.stable === false) return observation;
  return { ...observation, typed: true, printed: true };
}
