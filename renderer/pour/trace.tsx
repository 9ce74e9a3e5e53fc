import { useComputed, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { traceLine } from '../figures/trace-line.ts';
import { TRACE_SPAN, trace } from '../state/trace.ts';

/** The least height of the trace in grams: a hair's breadth of noise does not fill it. */
const LEAST = 0.2;

/** The readings of the last thirty seconds as a line. */
export function Trace() {
  const element = useRef<HTMLDivElement>(null);
  const size = useSignal({ width: 600, height: 60 });
  useEffect(() => {
    const watched = element.current;
    if (watched === null) return undefined;
    const watcher = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      const { width, height } = entry.contentRect;
      size.value = { width: Math.max(1, Math.round(width)), height: Math.max(1, Math.round(height)) };
    });
    watcher.observe(watched);
    return () => watcher.disconnect();
  }, [size]);
  const line = useComputed(() => traceLine(trace.value, size.value, TRACE_SPAN, LEAST));
  const path = useComputed(() => line.value?.path ?? '');
  const high = useComputed(() => (line.value === null ? '' : line.value.high.toFixed(line.value.decimals)));
  const low = useComputed(() => (line.value === null ? '' : line.value.low.toFixed(line.value.decimals)));
  return (
    <section class="trace" aria-label="Readings of the last 30 seconds">
      <p class="trace-scale">
        <span>{high}</span>
        <span>{low} g</span>
      </p>
      <div class="trace-box" ref={element}>
        <svg width="100%" height="100%" aria-hidden="true">
          <path class="trace-line" d={path} />
        </svg>
      </div>
      <p class="trace-time">
        <span>30 s ago</span>
        <span>now</span>
      </p>
    </section>
  );
}
