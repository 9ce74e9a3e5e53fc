import type { TraceReading } from '../../../core/record/marks.ts';

/**
 * Readings as so many strips of equal time can show them: of each strip the first, the lowest, the highest and the
 * last, in their order and as they were read. A line through them covers what a line through all would.
 * @param readings in the order of time
 * @param strips whole, at least 1
 */
export function thinned(readings: readonly TraceReading[], strips: number): readonly TraceReading[] {
  if (readings.length <= strips * 4) return readings;
  const from = readings[0]?.at ?? 0;
  const span = Math.max((readings.at(-1)?.at ?? 0) - from, 1);
  const kept: TraceReading[] = [];
  let strip: TraceReading[] = [];
  const close = (): void => {
    const [first] = strip;
    const last = strip.at(-1);
    if (first === undefined || last === undefined) return;
    let low = first;
    let high = first;
    for (const one of strip) {
      if (Number(one.g) < Number(low.g)) low = one;
      if (Number(one.g) > Number(high.g)) high = one;
    }
    kept.push(...[...new Set([first, low, high, last])].sort((a, b) => a.at - b.at));
  };
  let now = 0;
  for (const one of readings) {
    const at = Math.min(Math.floor(((one.at - from) / span) * strips), strips - 1);
    if (at !== now) {
      close();
      strip = [];
      now = at;
    }
    strip.push(one);
  }
  close();
  return kept;
}
