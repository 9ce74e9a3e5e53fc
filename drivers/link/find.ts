import type { SerialPort } from 'serialport';
import { printable } from '../frames/recognise.ts';
import { type Heard, hear, OPENINGS, type Opening } from './hear.ts';
import { formatLineSettings, parseLineSettings } from './line-settings.ts';
import { closePort, openPort, wake } from './port.ts';

/** What came of listening at a port. */
export type Found =
  | { readonly kind: 'found'; readonly line: string; readonly shape: string }
  /** Several shapes fit, and nothing came that decides; the person may choose one of them. */
  | {
      readonly kind: 'undecided';
      readonly line: string;
      readonly shapes: readonly string[];
      readonly ask: string;
    }
  | { readonly kind: 'silent'; readonly why: string; readonly press: string }
  /** `heard` is the end of what came at the usual speed, as text. */
  | { readonly kind: 'unknown'; readonly why: string; readonly heard: string; readonly next: string }
  | { readonly kind: 'stopped' };

export interface FindOptions {
  /** Told what is being tried, and what the person is asked to do. */
  readonly progress?: (
    step:
      | { readonly trying: string; readonly number: number; readonly of: number }
      | { readonly ask: string },
  ) => void;
  readonly signal?: AbortSignal;
  /** The person presses the print key, again and again: lines come far apart. */
  readonly byKey?: true;
}

/** How long an opening is listened at: at least, while lines may still come, and while the person is asked. */
const LISTEN_MS = 1600;
const LONGER_MS = 3000;
const ASKED_MS = 30_000;
const SILENT_MS = 2200;
const LOOK_MS = 100;
/** The same where a print key is pressed about once a second. */
const KEY_MS = { nothing: 20_000, garbage: 4000, more: 15_000 };
const PRESS = 'Press Print on the balance about once a second, until its lines are read.';
/** Only the latest bytes are judged. */
const KEPT = 4096;
/** So many of them are shown where nothing could be read. */
const SHOWN = 60;

const SILENT: Extract<Found, { kind: 'silent' }> = {
  kind: 'silent',
  why: 'Nothing came. The balance may be off or asleep, send only on its print key or only at rest, wait for a handshake, or only answer commands.',
  press:
    'Switch it on and press Print once. If a line comes now, set its output to continuous; else look for "data output", "handshake: none" and "continuous" in its menu.',
};

/**
 * Finds line settings and shape of a balance by listening only: nothing is sent. Openings are tried in turn; the
 * first that yields three whole lines of one shape is taken.
 * @throws LinkTrouble "unknown-port", "busy", "no-rights" or "lost"
 */
export async function findBalance(path: string, options: FindOptions = {}): Promise<Found> {
  let why = 'no line could be read';
  let first = '';
  for (const [n, opening] of OPENINGS.entries()) {
    if (options.signal?.aborted === true) return { kind: 'stopped' };
    options.progress?.({ trying: formatLineSettings(opening.line), number: n + 1, of: OPENINGS.length });
    if (options.byKey === true) options.progress?.({ ask: PRESS });
    const { heard, bytes } = await listenAt(path, opening, options);
    if (first === '') first = printable(bytes.subarray(-SHOWN).toString('latin1'));
    if (heard === 'stopped') return { kind: 'stopped' };
    if (heard.kind === 'nothing' && first === '') return SILENT;
    if (heard.kind === 'found')
      return { kind: 'found', line: formatLineSettings(heard.line), shape: heard.shape.name };
    if (heard.kind === 'ask')
      return {
        kind: 'undecided',
        line: formatLineSettings(heard.line),
        shapes: heard.shapes.map((shape) => shape.name),
        ask: heard.ask,
      };
    if (heard.kind === 'garbage') why = heard.why;
  }
  return {
    kind: 'unknown',
    why: `Bytes came, but at none of ${OPENINGS.length} line settings did they make lines of a known shape: ${why}.`,
    heard: first,
    next: 'Look for speed, parity and output format in the menu of the balance and choose them by hand.',
  };
}

/** What was made of the bytes of one opening, and the latest of them. */
interface Listened {
  readonly heard: Heard | 'stopped';
  readonly bytes: Buffer;
}

async function listenAt(path: string, opening: Opening, options: FindOptions): Promise<Listened> {
  const port = await openPort(path, parseLineSettings(formatLineSettings(opening.line)), 'none');
  try {
    return await judge(port, opening, options);
  } finally {
    await closePort(port);
  }
}

function judge(port: SerialPort, opening: Opening, options: FindOptions): Promise<Listened> {
  return new Promise((resolve, reject) => {
    let bytes = Buffer.alloc(0);
    let asked = '';
    const since = performance.now();
    const end = (result: Heard | 'stopped'): void => {
      clearInterval(timer);
      resolve({ heard: result, bytes });
    };
    const timer = setInterval(() => {
      if (options.signal?.aborted === true) return end('stopped');
      const heard = hear(bytes, opening);
      const passed = performance.now() - since;
      if (heard.kind === 'ask' && heard.ask !== asked) {
        asked = heard.ask;
        options.progress?.({ ask: asked });
      }
      const limits: Record<Heard['kind'], number> = {
        found: 0,
        nothing: SILENT_MS,
        garbage: LISTEN_MS,
        more: LONGER_MS,
        ask: ASKED_MS,
        ...(options.byKey === true ? KEY_MS : {}),
      };
      if (passed >= limits[heard.kind]) end(heard);
    }, LOOK_MS);
    port.on('data', (more: Buffer) => {
      bytes = Buffer.concat([bytes, more]).subarray(-KEPT);
    });
    const failed = (error: Error): void => {
      clearInterval(timer);
      reject(error);
    };
    port.on('error', failed);
    port.on('close', () => failed(new Error('the device went away while it was listened at')));
    wake(port, failed);
  });
}
