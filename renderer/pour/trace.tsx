import { useComputed } from '@preact/signals';
import { traceLine } from '../figures/trace-line.ts';
import { type Size, useSize } from '../parts/use-size.ts';
import { TRACE_SPAN, trace } from '../state/trace.ts';

/** The least height of the trace in grams: a hair's breadth of noise does not fill it. */
const LEAST = 0.2;
/** Until the place of the drawing is known, and never smaller than. */
const FIRST: Size = { width: 600, height: 60 };
const SMALLEST: Size = { width: 1, height: 1 };

/** The readings of the last thirty seconds as a line. */
export function Trace() {
  const { element, size } = useSize(FIRST, SMALLEST);
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
