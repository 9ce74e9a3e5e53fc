import { writeSync } from 'node:fs';
import type { ReadStream } from 'node:tty';
import { SerialPort } from 'serialport';
import { parityBit } from '../frames/parity.ts';
import { LinkTrouble } from '../link/balance.ts';
import { type LineSettings, parseLineSettings } from '../link/line-settings.ts';
import type { Instrument } from './instrument.ts';

const LONGEST_BACKLOG_MS = 50;

/** A pseudo-terminal that another program can open like a serial port. */
export interface ServedPort {
  readonly path: string;
  /** Sends bytes as they are, past the instrument: for faults. */
  write(bytes: Uint8Array): void;
  /** Takes the port away, as an unplugged adapter does. */
  close(): Promise<void>;
}

/** What node-pty gives from `open`, which its types leave out. */
interface Terminal {
  readonly ptsName: string;
  /** Descriptor of the master; writing to a full terminal through its stream would block the whole process. */
  readonly fd: number;
  readonly master: ReadStream;
  readonly slave: ReadStream;
}

function isTerminal(value: unknown): value is Terminal {
  return (
    typeof value === 'object' &&
    value !== null &&
    'ptsName' in value &&
    'fd' in value &&
    'master' in value &&
    'slave' in value
  );
}

async function openTerminal(): Promise<Terminal> {
  const library: object = await import('@lydell/node-pty');
  const open: unknown = Reflect.get(library, 'open') ?? Reflect.get(Reflect.get(library, 'default'), 'open');
  const terminal: unknown = typeof open === 'function' ? open({ encoding: null }) : null;
  if (isTerminal(terminal)) return terminal;
  throw new LinkTrouble(
    'unsupported',
    'This system gives no pseudo-terminal.',
    process.platform,
    'Use the simulated balance without one.',
  );
}

/**
 * Serves an instrument on a new pseudo-terminal. The terminal is raw: nothing is echoed or translated. It carries
 * bytes of eight bits whatever is set, so a line of seven bits is sent with its parity in bit 7, as it stands on the
 * wire. Like a UART it does not wait for a reader: what nobody reads is lost.
 * @param line line settings of the balance, "9600 8N1" by default
 * @throws LinkTrouble "unsupported" where there are no pseudo-terminals, "bad-settings"
 */
export async function servePty(instrument: Instrument, line = '9600 8N1'): Promise<ServedPort> {
  const settings = parseLineSettings(line);
  const terminal = await openTerminal();
  /* Opening the slave as a serial port sets it raw; it stays so while a descriptor is open. */
  const keeper = new SerialPort({
    path: terminal.ptsName,
    baudRate: settings.baud,
    lock: false,
    autoOpen: false,
  });
  await new Promise<void>((resolve, reject) => {
    keeper.open((error) => (error ? reject(error) : resolve()));
  });
  /* The library reads the slave itself, which would take the reader's bytes away. */
  await new Promise((resolve) => terminal.slave.once('close', resolve).destroy());
  let open = true;
  const write = (bytes: Uint8Array): void => {
    if (!open) return;
    try {
      writeSync(terminal.fd, bytes);
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EAGAIN')) throw error;
      /* Full, because nobody has read for long: what waits is dropped, as on a line without listener. */
      keeper.flush(() => {});
    }
  };
  /* Reading from a terminal whose last reader has gone is an input/output error; the next reader ends it. */
  terminal.master.on('error', () => {});
  terminal.master.on('data', (bytes: Buffer) => instrument.receive(bytes));
  let free = 0;
  const end = instrument.onBytes((bytes) => {
    /* A line too slow for the display rate skips readings, as a balance does that is still sending the last one. */
    const now = performance.now();
    if (free - now > LONGEST_BACKLOG_MS) return;
    free = Math.max(free, now) + (1000 * bytes.length * bitsOfCharacter(settings)) / settings.baud;
    write(instrument.onTheWay(onTheWire(bytes, settings)));
  });
  instrument.start();
  return {
    path: terminal.ptsName,
    write,
    async close() {
      if (!open) return;
      open = false;
      end();
      await new Promise<void>((resolve) => {
        keeper.close(() => resolve());
      });
      terminal.master.destroy();
    },
  };
}

/** Bits on the wire for one character: start, data, parity, stop. */
const bitsOfCharacter = (line: LineSettings): number =>
  1 + line.dataBits + (line.parity === 'none' ? 0 : 1) + line.stopBits;

/** Bytes as a line of these settings carries them: seven bits get their parity as bit 7. */
export function onTheWire(bytes: Uint8Array, line: LineSettings): Buffer {
  const { parity } = line;
  if (line.dataBits === 8) return Buffer.from(bytes);
  return Buffer.from(bytes.map((byte) => (byte & 0x7f) | (parityBit(byte & 0x7f, parity) << 7)));
}
