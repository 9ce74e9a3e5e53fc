import { statSync } from 'node:fs';
import { SerialPort } from 'serialport';
import type { Shape } from '../frames/shape.ts';
import { type LineSettings, opened } from './line-settings.ts';
import { openingTrouble } from './trouble.ts';

/**
 * Opens a serial port, locked against others.
 * @throws LinkTrouble "unknown-port", "busy", "no-rights" or "lost"
 */
export async function openPort(path: string, line: LineSettings, flow: Shape['flow']): Promise<SerialPort> {
  const { baud: baudRate, dataBits, parity, stopBits } = opened(line);
  const soft = flow === 'xonxoff';
  const port = new SerialPort({
    path,
    baudRate,
    dataBits,
    parity,
    stopBits,
    xon: soft,
    xoff: soft,
    autoOpen: false,
  });
  await new Promise<void>((resolve, reject) => {
    port.open((error) => (error ? reject(error) : resolve()));
  }).catch(async (error: Error) => {
    throw await openingTrouble(path, error);
  });
  return port;
}

/** Closes a port; resolves when it is free. */
export function closePort(port: SerialPort): Promise<void> {
  return new Promise((resolve, reject) => {
    if (!port.isOpen) resolve();
    else port.close((error) => (error && port.isOpen ? reject(error) : resolve()));
  });
}

/** Raises DTR and RTS, without which many balances send nothing, and drops what the port's buffer held. */
export function wake(port: SerialPort, failed: (error: Error) => void): void {
  port.flush((error) => {
    if (error) failed(error);
  });
  /* A pseudo-terminal has no control wires and refuses this; a port that has them takes it. */
  port.set({ dtr: true, rts: true }, () => {});
}

/** Which device a path names now; null where paths are no files or nothing is there. */
export function nodeOf(path: string): string | null {
  const found = statSync(path, { throwIfNoEntry: false });
  return found === undefined ? null : `${found.dev}:${found.ino}:${found.rdev}`;
}
