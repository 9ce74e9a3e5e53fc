import type { Journal } from '../store/journal.ts';
import { type CsvCell, csv, type DecimalSign, figure } from './csv.ts';

/**
 * Every reading that led to a capture or a revision, as the balance gave it: event, pour, time, gross in g. The same
 * reading may stand under a capture and under the revision after it.
 */
export function tracesCsv(journal: Journal, batch: string, sign: DecimalSign): string {
  const events = new Map(journal.events(batch).map((one) => [one.n, one.event]));
  const rows = journal.traced(batch).flatMap((n): CsvCell[][] => {
    const trace = journal.trace(batch, n);
    const event = events.get(n);
    if (trace === null || event === undefined) return [];
    const pour = 'pour' in event ? figure(String(event.pour)) : '';
    const start = Date.parse(trace.start);
    return trace.readings.map(([after, g]) => [
      figure(String(n)),
      event.type,
      pour,
      new Date(start + after).toISOString(),
      figure(g),
    ]);
  });
  return csv([['event', 'type', 'pour', 'time (UTC)', 'gross (g)'], ...rows], sign);
}
