import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type uPlot from 'uplot';
import type { RecordView } from '../../electron/host/table.ts';
import { batchTrace, spanOf } from '../figures/batch-trace.ts';
import { clockText } from '../figures/moment.ts';
import { axis, type Ink, Plot } from '../parts/plot.tsx';
import { fetchTraces, type Traces, traces } from '../state/tracing.ts';

const clock = (seconds: number): string => clockText(new Date(seconds * 1000).toISOString());
const grams = (_: uPlot, value: number | null): string =>
  value === null || value === undefined ? '–' : `${value} g`;

function drawnBy(ink: Ink): Omit<uPlot.Options, 'width' | 'height'> {
  return {
    scales: { x: { time: true } },
    axes: [
      axis(ink, { values: (_, splits) => splits.map(clock), space: 90 }),
      axis(ink, { label: 'gross, g', size: 64 }),
    ],
    series: [
      { label: 'at', value: (_, value) => (value === null ? '–' : clock(value)) },
      { label: 'reading', stroke: ink('slate'), width: 1.5, points: { show: false }, value: grams },
      {
        label: 'capture',
        stroke: ink('verdigris'),
        paths: () => null,
        points: { show: true, size: 11, width: 2, stroke: ink('verdigris'), fill: ink('verdigris') },
        value: grams,
      },
    ],
  };
}

function Drawn({ all, record }: { all: Traces; record: RecordView }) {
  const picked = useSignal<number | null>(null);
  const data = useMemo((): uPlot.AlignedData => {
    const { at, gross, captured } = batchTrace(all);
    return [at, gross, captured];
  }, [all]);
  const one = all.find(({ n }) => n === picked.value);
  const shown = useMemo(() => (one === undefined ? null : spanOf(one)), [one]);
  const start = one === undefined ? 0 : Date.parse(one.start) / 1000;
  const told = (n: number): string => record.events.find((event) => event.n === n)?.text ?? '';
  return (
    <>
      <label class="trace-pick">
        Shown
        <select
          value={picked.value ?? ''}
          onChange={(event) => {
            picked.value = event.currentTarget.value === '' ? null : Number(event.currentTarget.value);
          }}
        >
          <option value="">the whole batch</option>
          {all.map(({ n }) => (
            <option key={n} value={n}>
              {n}: {told(n)}
            </option>
          ))}
        </select>
      </label>
      <Plot
        name="Readings of this batch over time, with each capture as a dot"
        data={data}
        options={drawnBy}
        shown={shown}
      />
      <p class="soft">
        {one === undefined || one.settled === null
          ? 'The line is what the balance showed, a dot is what was captured. Draw across to see a part, double-click to see all.'
          : `${one.settled.g} g, settled from ${clock(start + one.settled.since / 1000)} to ${clock(start + one.settled.at / 1000)}: ${one.settled.rule}`}
      </p>
    </>
  );
}

/** What the balance showed at every pour, as it was kept, with what was captured of it. */
export function TracesOf({ record }: { record: RecordView }) {
  useEffect(() => void fetchTraces(record.batch), [record.batch, record.events.length]);
  const now = traces.value;
  return (
    <section class="traces" aria-labelledby="traces">
      <h3 id="traces" class="caption">
        Traces
      </h3>
      {now?.batch === record.batch && now.all.length > 0 && <Drawn all={now.all} record={record} />}
      {now?.batch === record.batch && now.all.length === 0 && <p class="soft">No readings were kept.</p>}
    </section>
  );
}
