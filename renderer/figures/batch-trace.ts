interface Kept {
  /** RFC 3339. */
  readonly start: string;
  /** Milliseconds since the start, and gross in grams as text. */
  readonly readings: readonly (readonly [number, string])[];
  readonly settled: { readonly g: string; readonly since: number; readonly at: number } | null;
}

/** A mark on the readings: when in ms since 1970, and the gross it stands at in grams as text. */
export interface Marked {
  readonly at: number;
  readonly kind: string;
  readonly g: string | null;
}

/** Columns of one length: seconds since 1970, readings, captures and marks in grams. */
export interface BatchTrace {
  readonly at: number[];
  /** null where the line breaks off, undefined where there is a capture only. */
  readonly gross: (number | null | undefined)[];
  readonly captured: (number | null | undefined)[];
  readonly drops: (number | null | undefined)[];
  /** What disturbed the weighing: lifts, knocks, zeroings, overloads, lost links, voids. */
  readonly disturbed: (number | null | undefined)[];
}

const DROPS = ['drop', 'stream'];
const ELSEWHERE = [...DROPS, 'begun', 'capture', 'revision'];

/** Whether a mark tells what disturbed the weighing, or that it was over. */
export const disturbs = ({ kind }: Pick<Marked, 'kind'>): boolean => !ELSEWHERE.includes(kind);

/** Marks of what disturbed the weighing, numbered by their moments from 1: those of one moment share a number. */
export function numbered<M extends Marked>(
  marks: readonly M[],
): { readonly number: number; readonly mark: M }[] {
  const moments = [...new Set(marks.filter(disturbs).map(({ at }) => at))].sort((a, b) => a - b);
  return marks.flatMap((mark) => (disturbs(mark) ? [{ number: moments.indexOf(mark.at) + 1, mark }] : []));
}

/** A mark that the balance told no mass of stands at the last reading before it. */
function marksBy(
  marks: readonly Marked[],
  gross: ReadonlyMap<number, number>,
  wanted: (mark: Marked) => boolean,
): Map<number, number> {
  const moments = [...gross.keys()].sort((a, b) => a - b);
  const level = (at: number): number =>
    gross.get(moments.findLast((one) => one <= at) ?? moments[0] ?? 0) ?? 0;
  return new Map(marks.filter(wanted).map(({ at, g }) => [at, g === null ? level(at) : Number(g)]));
}

/** Readings further apart than this are not joined, in ms. */
const APART = 3000;

/** The readings of every trace of a batch on one clock; a reading that two traces hold is there once. */
export function batchTrace(kept: readonly Kept[], marks: readonly Marked[] = []): BatchTrace {
  const gross = new Map<number, number>();
  const captured = new Map<number, number>();
  for (const { start, readings, settled } of kept) {
    const from = Date.parse(start);
    for (const [at, g] of readings) gross.set(from + at, Number(g));
    if (settled !== null) captured.set(from + settled.at, Number(settled.g));
  }
  const drops = marksBy(marks, gross, ({ kind }) => DROPS.includes(kind));
  const disturbed = marksBy(marks, gross, disturbs);
  const all = [gross, captured, drops, disturbed].flatMap((one) => [...one.keys()]);
  const moments = [...new Set(all)].sort((a, b) => a - b);
  const trace: BatchTrace = { at: [], gross: [], captured: [], drops: [], disturbed: [] };
  let before: number | null = null;
  for (const moment of moments) {
    if (before !== null && moment - before > APART) {
      trace.at.push((before + 1) / 1000);
      trace.gross.push(null);
      trace.captured.push(undefined);
      trace.drops.push(undefined);
      trace.disturbed.push(undefined);
    }
    trace.at.push(moment / 1000);
    trace.gross.push(gross.get(moment));
    trace.captured.push(captured.get(moment));
    trace.drops.push(drops.get(moment));
    trace.disturbed.push(disturbed.get(moment));
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
