interface Kept {
  /** RFC 3339. */
  readonly start: string;
  /** Milliseconds since the start, and gross in grams as text. */
  readonly readings: readonly (readonly [number, string])[];
  readonly settled: { readonly g: string; readonly since: number; readonly at: number } | null;
}

/** Columns of one length: seconds since 1970, readings and captures in grams. */
export interface BatchTrace {
  readonly at: number[];
  /** null where the line breaks off, undefined where there is a capture only. */
  readonly gross: (number | null | undefined)[];
  readonly captured: (number | null | undefined)[];
}

/** Readings further apart than this are not joined, in ms. */
const APART = 3000;

/** The readings of every trace of a batch on one clock; a reading that two traces hold is there once. */
export function batchTrace(kept: readonly Kept[]): BatchTrace {
  const gross = new Map<number, number>();
  const captured = new Map<number, number>();
  for (const { start, readings, settled } of kept) {
    const from = Date.parse(start);
    for (const [at, g] of readings) gross.set(from + at, Number(g));
    if (settled !== null) captured.set(from + settled.at, Number(settled.g));
  }
  const moments = [...new Set([...gross.keys(), ...captured.keys()])].sort((a, b) => a - b);
  const trace: BatchTrace = { at: [], gross: [], captured: [] };
  let before: number | null = null;
  for (const moment of moments) {
    if (before !== null && moment - before > APART) {
      trace.at.push((before + 1) / 1000);
      trace.gross.push(null);
      trace.captured.push(undefined);
    }
    trace.at.push(moment / 1000);
    trace.gross.push(gross.get(moment));
    trace.captured.push(captured.get(moment));
    before = moment;
  }
  return trace;
}

/** From when to when a trace goes with a little room at both ends, in seconds since 1970. */
export function spanOf({ start, readings, settled }: Kept): { readonly min: number; readonly max: number } {
  const from = Date.parse(start) / 1000;
  const last = Math.max(readings.at(-1)?.[0] ?? 0, settled?.at ?? 0) / 1000;
  const room = Math.max(0.5, last / 20);
  return { min: from - room, max: from + last + room };
}
