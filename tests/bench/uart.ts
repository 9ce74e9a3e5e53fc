import type { LineSettings } from '../../drivers/link/line-settings.ts';

/** A level on the wire that lasts from `at` (seconds) to the next one. */
export interface Level {
  readonly at: number;
  readonly high: boolean;
}

function characterBits(byte: number, line: LineSettings): boolean[] {
  const bits: boolean[] = [false];
  for (let k = 0; k < line.dataBits; k++) bits.push(((byte >> k) & 1) === 1);
  if (line.parity !== 'none') {
    let ones = 0;
    for (let k = 0; k < line.dataBits; k++) ones += (byte >> k) & 1;
    const even = (ones & 1) === 1;
    bits.push(line.parity === 'even' ? even : line.parity === 'odd' ? !even : line.parity === 'mark');
  }
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

/** Bytes that a receiver at `baud` 8N1 makes of the levels. A framing error is handed on as a plain byte. */
export function receive(levels: readonly Level[], baud: number, until: number): Uint8Array {
  const bytes: number[] = [];
  const bit = 1 / baud;
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
    for (let k = 0; k < 8; k++) if (highAt(now + (1.5 + k) * bit)) byte |= 1 << k;
    bytes.push(byte);
    now += 9.5 * bit;
    if (!highAt(now)) {
      const next = levels[place + 1];
      if (next === undefined) break;
      now = next.at;
    }
  }
  return Uint8Array.from(bytes);
}
