import type { StoredEvent } from '../../core/pour/events.ts';
import { marksOf, type TraceMark, type TraceReading } from '../../core/record/marks.ts';
import type { Journal } from './store/journal.ts';
import type { Output } from './table.ts';

type TraceView = Output<'records.traces'>['traces'][number];

/** Readings of every capture and revision of a batch, with what was settled among them, and the marks on them all. */
export function batchTraces(
  journal: Journal,
  batch: string,
): { readonly traces: TraceView[]; readonly marks: TraceMark[] } {
  const events = journal.events(batch);
  const byNumber = new Map(events.map((one): [number, StoredEvent] => [one.n, one]));
  const traces = journal.traced(batch).flatMap((n): TraceView[] => {
    const trace = journal.trace(batch, n);
    const event = byNumber.get(n)?.event;
    if (trace === null || event === undefined) return [];
    const start = Date.parse(trace.start);
    const settled = 'settled' in event ? event.settled : undefined;
    return [
      {
        n,
        type: event.type,
        pour: 'pour' in event ? event.pour : null,
        start: trace.start,
        readings: trace.readings.map(([at, g]): [number, string] => [at, g]),
        settled:
          settled === undefined
            ? null
            : { g: settled.g, since: settled.since - start, at: settled.at - start, rule: settled.rule },
      },
    ];
  });
  const first = events[0]?.event;
  if (first?.type !== 'started' || traces.length === 0) return { traces, marks: [] };
  return { traces, marks: marksOf(readingsOf(traces), Number(first.balance.limits.d), events) };
}

/** Every reading once, though the trace of a capture and of its revision both hold it. */
function readingsOf(traces: readonly TraceView[]): TraceReading[] {
  const all = new Map<number, string>();
  for (const { start, readings } of traces)
    for (const [at, g] of readings) all.set(Date.parse(start) + at, g);
  return [...all].map(([at, g]) => ({ at, g }));
}

/** One pour as it is drawn on paper: readings in ms since 1970 and g, what counts of it, and the marks within it. */
export interface PourTrace {
  readonly pour: number;
  readonly readings: readonly TraceReading[];
  readonly marks: readonly TraceMark[];
}

/** The traces of a batch by its pours, in their order. */
export function pourTraces(journal: Journal, batch: string): PourTrace[] {
  const { traces, marks } = batchTraces(journal, batch);
  const pours = [...new Set(traces.flatMap(({ pour }) => pour ?? []))].sort((a, b) => a - b);
  return pours.map((pour) => {
    const readings = readingsOf(traces.filter((one) => one.pour === pour)).sort((a, b) => a.at - b.at);
    const from = readings[0]?.at ?? 0;
    const to = readings.at(-1)?.at ?? 0;
    return { pour, readings, marks: marks.filter(({ at }) => at >= from && at <= to) };
  });
}
