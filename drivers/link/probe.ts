import type { SerialPort } from 'serialport';
import { printable } from '../frames/recognise.ts';
import { SHAPES } from '../frames/shapes.ts';
import { type Heard, hear, type Opening, tellsPan } from './hear.ts';
import { formatLineSettings, outgoing, parseLineSettings } from './line-settings.ts';
import { closePort, openPort, wake } from './port.ts';
import { type Asking, askings, bytesInWords } from './questions.ts';

/** What came of asking a silent balance for its figure. */
export type Asked =
  /** `ask` is the command that it answered. */
  | { readonly kind: 'found'; readonly line: string; readonly shape: string; readonly ask: string }
  | { readonly kind: 'no-answer'; readonly why: string; readonly next: string }
  /** Something answered, and no line of a known shape was in it. */
  | { readonly kind: 'unknown'; readonly why: string; readonly heard: string; readonly next: string }
  /** Bytes came before anything was asked: it need not be asked. */
  | { readonly kind: 'speaks' }
  | { readonly kind: 'stopped' };

export interface AskOptions {
  /** The shape that the person says the balance has. */
  readonly shape?: string;
  /** Told before each sending: the bytes as a manual writes them, the line settings, which of how many. */
  readonly progress?: (step: {
    readonly bytes: string;
    readonly line: string;
    readonly number: number;
    readonly of: number;
  }) => void;
  readonly signal?: AbortSignal;
  /** Listened before the first command, and from one command to the next, ms; {@link PACE} by default. */
  readonly pace?: { readonly before: number; readonly every: number };
}

/** Nothing is sent to what speaks by itself; and writing faster than this made a listed balance flood its line. */
export const PACE = { before: 400, every: 1100 };
/** A question that is answered is put so often, until its lines tell the shape. */
const MOST = 5;
const SHOWN = 60;

/**
 * Asks a silent balance for its figure, by harmless commands only, one after the other until one is answered. To be
 * called only when the person has agreed to exactly these bytes.
 * @throws LinkTrouble "unknown-port", "busy", "no-rights", "lost" or "unknown-shape"
 */
export async function askBalance(path: string, options: AskOptions = {}): Promise<Asked> {
  const all = askings(options.shape);
  let heard = '';
  for (const [n, asking] of all.entries()) {
    if (options.signal?.aborted === true) return { kind: 'stopped' };
    const tell = (): void =>
      options.progress?.({
        bytes: bytesInWords(asking.bytes),
        line: asking.line,
        number: n + 1,
        of: all.length,
      });
    const { result, bytes } = await askAt(path, asking, tell, options);
    if (result === 'speaks' || result === 'stopped') return { kind: result };
    if (result.kind === 'found')
      return {
        kind: 'found',
        line: formatLineSettings(result.line),
        shape: result.shape.name,
        ask: asking.bytes,
      };
    if (bytes.length > 0) heard = printable(bytes.subarray(-SHOWN).toString('latin1'));
  }
  return heard === ''
    ? {
        kind: 'no-answer',
        why: `None of ${all.length} questions was answered.`,
        next: 'It may be off, at other line settings, behind a handshake, or send only on its print key. Look for "data output" and "continuous" in its menu, or let Pourwright listen while you press Print.',
      }
    : {
        kind: 'unknown',
        why: 'Something answered, but not in lines of a known shape.',
        heard,
        next: 'Look for output format, speed and parity in the menu of the balance and choose them by hand.',
      };
}

interface AskedAt {
  readonly result: Heard | 'speaks' | 'stopped';
  readonly bytes: Buffer;
}

async function askAt(path: string, asking: Asking, tell: () => void, options: AskOptions): Promise<AskedAt> {
  const line = parseLineSettings(asking.line);
  const port = await openPort(path, line, 'none');
  try {
    const infers = line.dataBits === 8 && line.parity === 'none';
    return await new Conversation(port, asking, { line, infers }, options).hold(tell);
  } finally {
    await closePort(port);
  }
}

/** One question at one opening: listened first, then put, and put again while answers come that do not yet tell. */
class Conversation {
  readonly #port: SerialPort;
  readonly #asking: Asking;
  readonly #opening: Opening;
  readonly #signal: AbortSignal | undefined;
  readonly #pace: NonNullable<AskOptions['pace']>;
  #bytes: Buffer = Buffer.alloc(0);
  #failure: Error | null = null;

  constructor(port: SerialPort, asking: Asking, opening: Opening, { signal, pace = PACE }: AskOptions) {
    this.#port = port;
    this.#asking = asking;
    this.#opening = opening;
    this.#signal = signal;
    this.#pace = pace;
    const failed = (error: Error): void => {
      this.#failure ??= error;
    };
    port.on('data', (more: Buffer) => {
      this.#bytes = Buffer.concat([this.#bytes, more]);
    });
    port.on('error', failed);
    port.on('close', () => failed(new Error('the device went away while it was asked')));
    wake(port, failed);
  }

  async hold(tell: () => void): Promise<AskedAt> {
    if (!(await this.#wait(this.#pace.before))) return this.#end('stopped');
    if (this.#bytes.length > 0) return this.#end('speaks');
    tell();
    const shapes = SHAPES.filter((one) => this.#asking.shapes.includes(one.name));
    let result: Heard = { kind: 'nothing' };
    for (let n = 0; n < MOST; n++) {
      if (this.#signal?.aborted === true) return this.#end('stopped');
      this.#port.write(outgoing(this.#asking.bytes, this.#opening.line));
      if (!(await this.#wait(this.#pace.every))) return this.#end('stopped');
      result = hear(this.#bytes, this.#opening, { shapes, whole: true });
      /* An error or an answer of another shape is not asked for twice. */
      if (result.kind === 'found' || !tellsPan(this.#bytes, shapes)) break;
    }
    return this.#end(result);
  }

  #end(result: AskedAt['result']): AskedAt {
    return { result, bytes: this.#bytes };
  }

  /** @returns false when it is to stop. @throws what went wrong at the port */
  async #wait(ms: number): Promise<boolean> {
    const until = performance.now() + ms;
    while (performance.now() < until) {
      if (this.#failure !== null) throw this.#failure;
      if (this.#signal?.aborted === true) return false;
      await new Promise((resolve) =>
        setTimeout(resolve, Math.min(50, Math.max(1, until - performance.now()))),
      );
    }
    return true;
  }
}
