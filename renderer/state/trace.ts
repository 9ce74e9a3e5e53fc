import { signal } from '@preact/signals';
import type { LiveView } from '../../electron/host/table.ts';

/** One reading of the trace: milliseconds on the host's clock, grams. */
export interface TracePoint {
  readonly at: number;
  readonly g: number;
}

/** How far back the trace looks, in milliseconds. */
export const TRACE_SPAN = 30_000;
/** The trace is drawn at most this often, in milliseconds: the figures come first. */
const DRAW_EVERY = 100;

let points: TracePoint[] = [];
let drawn = Number.NEGATIVE_INFINITY;

/** The readings of the last 30 s, renewed ten times a second. */
export const trace = signal<readonly TracePoint[]>([]);

/** Adds a reading; what is older than the span, or follows a clock set back, is let go. */
export function withPoint(known: readonly TracePoint[], point: TracePoint): TracePoint[] {
  const last = known.at(-1);
  if (last !== undefined && point.at < last.at) return [point];
  const from = known.findIndex((one) => one.at >= point.at - TRACE_SPAN);
  return from < 0 ? [point] : [...known.slice(from), point];
}

/** Begins anew, at another bench. */
export function clearTrace(): void {
  points = [];
  trace.value = points;
}

/** Hears a live view: its reading joins the trace once. */
export function traceHears(live: LiveView): void {
  const last = points.at(-1);
  if (live.g === null || (last !== undefined && last.at === live.at)) return;
  points = withPoint(points, { at: live.at, g: Number(live.g) });
  if (live.at - drawn < DRAW_EVERY && live.at >= drawn) return;
  drawn = live.at;
  trace.value = points;
}
