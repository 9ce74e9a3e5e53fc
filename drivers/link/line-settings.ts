import type { SevenBitParity } from '../frames/parity.ts';
import { LinkTrouble } from './balance.ts';

export type Parity = 'none' | 'even' | 'odd' | 'mark' | 'space';

/** Settings of a serial line. */
export interface LineSettings {
  /** Bits a second, 300 to 115200. */
  readonly baud: number;
  readonly dataBits: 7 | 8;
  readonly parity: Parity;
  readonly stopBits: 1 | 2;
}

/** Speeds that balances offer, slowest first. */
export const BAUDS: readonly number[] = [300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200];

const LETTERS: Readonly<Record<string, Parity>> = { N: 'none', E: 'even', O: 'odd', M: 'mark', S: 'space' };

/**
 * Reads settings written the usual way, "9600 8N1": speed, data bits, parity letter, stop bits.
 * @throws LinkTrouble "bad-settings" that says which part is wrong
 */
export function parseLineSettings(text: string): LineSettings {
  const wrong = (what: string): LinkTrouble =>
    new LinkTrouble(
      'bad-settings',
      `Line settings "${text}": ${what}.`,
      text,
      'Write speed, data bits, parity and stop bits, for example "9600 8N1" or "2400 7E1".',
    );
  const match = /^\s*(\d+)[\s,]+(\d)\s*([A-Za-z])\s*(\d)\s*$/.exec(text);
  if (match === null) throw wrong('not of the form "9600 8N1"');
  const [, speed = '', data = '', letter = '', stop = ''] = match;
  const baud = Number(speed);
  if (!BAUDS.includes(baud)) throw wrong(`speed ${speed} is none of ${BAUDS.join(', ')}`);
  if (data !== '7' && data !== '8') throw wrong(`data bits ${data} are neither 7 nor 8`);
  const parity = LETTERS[letter.toUpperCase()];
  if (parity === undefined) throw wrong(`parity "${letter}" is none of N, E, O, M, S`);
  if (stop !== '1' && stop !== '2') throw wrong(`stop bits ${stop} are neither 1 nor 2`);
  if (data === '8' && (parity === 'mark' || parity === 'space'))
    throw wrong('mark and space parity are known with 7 data bits only');
  return { baud, dataBits: data === '7' ? 7 : 8, parity, stopBits: stop === '1' ? 1 : 2 };
}

/**
 * How a port is opened for these settings. Seven bits with mark or space parity are eight bits on the wire with bit 7
 * set or clear, and are opened so, because not every system knows these parities.
 */
export function opened(line: LineSettings): LineSettings {
  const marked = line.parity === 'mark' || line.parity === 'space';
  return marked ? { ...line, dataBits: 8, parity: 'none' } : line;
}

/** Bytes of a command as such an opening must send them: bit 7 set for mark parity. */
export function outgoing(command: string, line: LineSettings): Buffer {
  const bytes = Buffer.from(command, 'latin1');
  return line.parity === 'mark' ? Buffer.from(bytes.map((byte) => byte | 0x80)) : bytes;
}

/** Writes settings the usual way: "9600 8N1". */
export function formatLineSettings(line: LineSettings): string {
  return `${line.baud} ${line.dataBits}${line.parity.charAt(0).toUpperCase()}${line.stopBits}`;
}

/** What the framer must know of the line: the parity of seven-bit characters, or nothing for eight bits. */
export function framing(line: LineSettings): { sevenBits?: SevenBitParity } {
  return line.dataBits === 7 ? { sevenBits: line.parity } : {};
}
