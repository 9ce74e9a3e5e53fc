import type { LineSettings } from '../../drivers/link/line-settings.ts';

/** A level on the wire that lasts from `at` (seconds) to the next one. */
export interface Level {
  readonly at: number;
  readonly high: boolean;
}

/** Level of the parity bit of a byte. */
function parityOf(byte: number, line: LineSettings): boolean {
  let ones = 0;
  for (let k = 0; k < line.dataBits; k++) ones += (byte >> k) & 1;
  const even = (ones & 1) === 1;
  return line.parity === 'even' ? even : line.parity === 'odd' ? !even : line.parity === 'mark';
}

function characterBits(byte: number, line: LineSettings): boolean[] {
  const bits: boolean[] = [false];
  for (let k = 0; k < line.dataBits; k++) bits.push(((byte >> k) & 1) === 1);
  if (line.parity !== 'none') bits.push(parityOf(byte, line));
  for (let k = 0; k < line.stopBits; k++) bits.push(true);
  return bits;
}

/** Levels of texts sent at their times (seconds), back to back within a text; idle is high. */
export function send(texts: readonly { at: number; text: string }[], line: LineSettings): Level[] {
  const levels: Level[] = [{ at: 0, high: true }];
  const bit = 1 / line.baud;
  let free = 0;
  for (const { at, text } of texts) {
    let now = Math.max(at, free);
    for (const letter of text)
      for (const high of characterBits(letter.charCodeAt(0), line)) {
        if (levels.at(-1)?.high !== high) levels.push({ at: now, high });
        now += bit;
      }
    free = now;
  }
  return levels;
}

/**
 * Bytes that a receiver with these settings makes of the levels. A byte with a framing or parity error is dropped, as
 * the system does when the port is opened for it.
 */
export function receive(levels: readonly Level[], line: LineSettings, until: number): Uint8Array {
  const bytes: number[] = [];
  const bit = 1 / line.baud;
  const parityBits = line.parity === 'none' ? 0 : 1;
  let place = 0;
  const highAt = (time: number): boolean => {
    while (place + 1 < levels.length && (levels[place + 1]?.at ?? 0) <= time) place += 1;
    return levels[place]?.high ?? true;
  };
  let now = 0;
  while (now < until) {
    if (highAt(now)) {
      const next = levels[place + 1];
      if (next === undefined) break;
      now = next.at;
      continue;
    }
    let byte = 0;
    for (let k = 0; k < line.dataBits; k++) if (highAt(now + (1.5 + k) * bit)) byte |= 1 << k;
    const parity = parityBits === 1 && highAt(now + (1.5 + line.dataBits) * bit);
    now += (1.5 + line.dataBits + parityBits) * bit;
    const stopped = highAt(now);
    if (stopped && (parityBits === 0 || parity === parityOf(byte, line))) bytes.push(byte);
    if (!stopped) {
      const next = levels[place + 1];
      if (next === undefined) break;
      now = next.at;
    }
  }
  return Uint8Array.from(bytes);
}
