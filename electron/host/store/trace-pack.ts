import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { PourEvent } from '../../../core/pour/events.ts';
import { decimalsOf, isDecimalText } from '../../../core/quantity/decimal.ts';

/** Readings of one pour, as [milliseconds since the first, grams]; kept beside the capture they led to. */
export interface Trace {
  readonly start: string;
  readonly readings: readonly (readonly [number, string])[];
}

/** Whether the readings that led to an event are kept beside it. */
export const keepsTrace = (event: PourEvent): boolean =>
  event.type === 'captured' || event.type === 'revised';

/**
 * One trace of the pieces of a pour, oldest first. A revision keeps only what came after the piece before it; one of
 * an earlier version of this program repeats the pour from its start, and then stands alone.
 */
export function joinedTrace(pieces: readonly Trace[]): Trace | null {
  const last = pieces.at(-1);
  if (last === undefined) return null;
  const from = Date.parse(last.start);
  const earlier = pieces.slice(0, -1).filter(({ start }) => Date.parse(start) < from);
  const first = earlier[0];
  if (first === undefined) return last;
  const begun = Date.parse(first.start);
  const readings = [...earlier, last].flatMap((piece) => {
    const after = Date.parse(piece.start) - begun;
    return piece.readings.map(([at, g]) => [after + at, g] as const);
  });
  return { start: first.start, readings };
}

/**
 * A packed trace is one byte that tells its kind, then raw deflate. Kind 1: steps of time in ms and steps of counts of
 * the last digit, each a zigzag variable-length integer. Kind 0: the trace as JSON, for what kind 1 cannot give back
 * to the letter (times that are no whole ms, figures of different digits).
 */
const JSON_KIND = 0;
const STEPS_KIND = 1;

class Bytes {
  #bytes = new Uint8Array(4096);
  #length = 0;

  push(byte: number): void {
    if (this.#length === this.#bytes.length) {
      const grown = new Uint8Array(this.#length * 2);
      grown.set(this.#bytes);
      this.#bytes = grown;
    }
    this.#bytes[this.#length] = byte;
    this.#length += 1;
  }

  /** Writes a whole number >= 0, seven bits a byte, the least first. */
  whole(value: number): void {
    let rest = value;
    while (rest >= 128) {
      this.push((rest % 128) + 128);
      rest = Math.floor(rest / 128);
    }
    this.push(rest);
  }

  /** Writes a whole number of either sign: 0, -1, 1, -2, … as 0, 1, 2, 3, … */
  signed(value: number): void {
    this.whole(value < 0 ? -2 * value - 1 : 2 * value);
  }

  get done(): Uint8Array {
    return this.#bytes.subarray(0, this.#length);
  }
}

class Source {
  readonly #bytes: Uint8Array;
  #at = 0;
  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }
  take(length: number): Uint8Array {
    this.#at += length;
    if (this.#at > this.#bytes.length) throw new RangeError('the packed trace is cut short');
    return this.#bytes.subarray(this.#at - length, this.#at);
  }
  whole(): number {
    let value = 0;
    for (let place = 1; ; place *= 128) {
      const byte = this.take(1)[0] ?? 0;
      value += (byte % 128) * place;
      if (byte < 128) return value;
      if (place > Number.MAX_SAFE_INTEGER / 128)
        throw new RangeError('a number of the packed trace is too long');
    }
  }
  signed(): number {
    const value = this.whole();
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
  }
}

/** Largest step or count that is packed, so that twice its size is still exact. */
const MOST = 2 ** 50;

/** A figure as a count of its last digit; null where that would not give the same text again. */
function countOf(g: string, decimals: number): number | null {
  if (!isDecimalText(g) || decimalsOf(g) !== decimals) return null;
  const count = Number(g.replace('.', ''));
  return Math.abs(count) < MOST && textOf(count, decimals) === g ? count : null;
}

function textOf(count: number, decimals: number): string {
  const digits = String(Math.abs(count)).padStart(decimals + 1, '0');
  const whole = digits.slice(0, digits.length - decimals);
  return `${count < 0 ? '-' : ''}${whole}${decimals === 0 ? '' : `.${digits.slice(-decimals)}`}`;
}

function steps({ start, readings }: Trace): Uint8Array | null {
  const decimals = decimalsOf(readings[0]?.[1] ?? '0');
  const bytes = new Bytes();
  const name = new TextEncoder().encode(start);
  bytes.whole(name.length);
  for (const byte of name) bytes.push(byte);
  bytes.whole(readings.length);
  bytes.whole(decimals);
  let last = 0;
  for (const [at] of readings) {
    if (!Number.isSafeInteger(at) || Math.abs(at) > MOST) return null;
    bytes.signed(at - last);
    last = at;
  }
  last = 0;
  for (const [, g] of readings) {
    const count = countOf(g, decimals);
    if (count === null) return null;
    bytes.signed(count - last);
    last = count;
  }
  return bytes.done;
}

/** Packs a trace without loss. */
export function packTrace(trace: Trace): Buffer {
  const packed = steps(trace);
  const kind = packed === null ? JSON_KIND : STEPS_KIND;
  const body = packed ?? Buffer.from(JSON.stringify(trace), 'utf8');
  return Buffer.concat([Buffer.of(kind), deflateRawSync(body, { level: 9 })]);
}

function unsteps(bytes: Uint8Array): Trace {
  const source = new Source(bytes);
  const start = new TextDecoder().decode(source.take(source.whole()));
  const length = source.whole();
  const decimals = source.whole();
  const series = (): number[] => {
    let sum = 0;
    return Array.from({ length }, () => {
      sum += source.signed();
      return sum;
    });
  };
  const times = series();
  const counts = series();
  return { start, readings: times.map((at, i) => [at, textOf(counts[i] ?? 0, decimals)] as const) };
}

/** Gives a packed trace back as it was. @throws RangeError when it is not one that packTrace made */
export function unpackTrace(packed: Uint8Array): Trace {
  const kind = packed[0];
  if (kind !== STEPS_KIND && kind !== JSON_KIND)
    throw new RangeError(`a packed trace of kind ${kind ?? 'none'} is not known`);
  const body = inflateRawSync(packed.subarray(1));
  return kind === STEPS_KIND ? unsteps(body) : (JSON.parse(body.toString('utf8')) as Trace);
}
