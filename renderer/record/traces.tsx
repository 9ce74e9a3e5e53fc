import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type uPlot from 'uplot';
import type { RecordView } from '../../electron/host/table.ts';
import { batchTrace, disturbs, numbered, spanOf } from '../figures/batch-trace.ts';
import { clockText } from '../figures/moment.ts';
import { axis, type Ink, Plot } from '../parts/plot.tsx';
import { fetchTraces, type Marks, type Traces, traces } from '../state/tracing.ts';

const clock = (seconds: number): string => clockText(new Date(seconds * 1000).toISOString());
const grams = (_: uPlot, value: number | null): string =>
  value === null || value === undefined ? '–' : `${value} g`;

/** Numbers above the rings of what disturbed the weighing, as in the list below; one that has no room stands higher. */
function numbersOver(ink: Ink): (plot: uPlot) => void {
  return (plot) => {
    const { ctx, data } = plot;
    const of = (n: number): number => n * devicePixelRatio;
    const left = plot.bbox.left;
    let number = 0;
    let last = { x: Number.NEGATIVE_INFINITY, y: 0 };
    ctx.save();
    ctx.font = `600 ${of(13)}px "Inter Variable", sans-serif`;
    ctx.textAlign = 'center';
    ctx.fillStyle = ink('madder');
    ctx.strokeStyle = ink('paper');
    ctx.lineWidth = of(4);
    ctx.lineJoin = 'round';
    (data[4] ?? []).forEach((g, at) => {
      if (typeof g !== 'number') return;
      number += 1;
      const x = plot.valToPos(data[0][at] ?? 0, 'x', true);
      if (x < left || x > left + plot.bbox.width) return;
      const over = plot.valToPos(g, 'y', true) - of(11);
      const crowded = x - last.x < of(18) && Math.abs(over - last.y) < of(16);
      const y = crowded ? last.y - of(16) : over;
      ctx.strokeText(String(number), x, y);
      ctx.fillText(String(number), x, y);
      last = { x, y };
    });
    ctx.restore();
  };
}

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
      {
        label: 'drop',
        stroke: ink('ink'),
        paths: () => null,
        points: { show: true, size: 5, width: 1, stroke: ink('ink'), fill: ink('ink') },
        value: grams,
      },
      {
        label: 'disturbed',
        stroke: ink('madder'),
        paths: () => null,
        points: { show: true, size: 13, width: 2, stroke: ink('madder'), fill: 'transparent' },
        value: grams,
      },
    ],
    hooks: { draw: [numbersOver(ink)] },
  };
}

interface Told {
  readonly marks: Marks;
  readonly one: Traces[number] | undefined;
}

/** Marks within one trace; all of them where none is picked. */
function within<M extends { readonly at: number }>(marks: readonly M[], one: Told['one']): M[] {
  const from = one === undefined ? Number.NEGATIVE_INFINITY : Date.parse(one.start);
  const to = one === undefined ? Number.POSITIVE_INFINITY : from + (one.readings.at(-1)?.[0] ?? 0);
  return marks.filter(({ at }) => at >= from && at <= to);
}

function MarkTold({ mark, number }: { mark: Marks[number]; number?: number }) {
  return (
    <li>
      <time dateTime={new Date(mark.at).toISOString()} class="soft">
        {clock(mark.at / 1000)}
      </time>
      <span class="soft">{mark.g === null ? '–' : `${mark.g} g`}</span>
      <span>
        {number !== undefined && <b class="mark-number">{number}</b>} {mark.text}
      </span>
    </li>
  );
}

/** What disturbed the weighing, by the numbers on the chart. */
function Disturbed({ marks, one }: Told) {
  const shown = new Set(within(marks, one));
  const told = numbered(marks).filter(({ mark }) => shown.has(mark));
  if (told.length === 0) return null;
  return (
    <section aria-labelledby="disturbed">
      <h4 id="disturbed" class="caption">
        What disturbed it
      </h4>
      <ol class="events">
        {told.map(({ number, mark }) => (
          <MarkTold key={`${mark.at} ${mark.kind}`} mark={mark} number={number} />
        ))}
      </ol>
    </section>
  );
}

/** The other marks in words: all of them, or those within one trace. */
function MarksTold({ marks, one }: Told) {
  const told = within(marks, one).filter((mark) => !disturbs(mark));
  return (
    <details>
      <summary>
        {told.length === 1 ? 'One mark' : `${told.length} marks`} of pours, drops and captures on{' '}
        {one === undefined ? 'these traces' : 'this trace'}
      </summary>
      <p class="soft">Drops are told from the readings: an aid to reading them, never a figure.</p>
      <ol class="events">
        {told.map((mark) => (
          <MarkTold key={`${mark.at} ${mark.kind}`} mark={mark} />
        ))}
      </ol>
    </details>
  );
}

function Drawn({ all, marks, record }: { all: Traces; marks: Marks; record: RecordView }) {
  const picked = useSignal<number | null>(null);
  const data = useMemo((): uPlot.AlignedData => {
    const { at, gross, captured, drops, disturbed } = batchTrace(all, marks);
    return [at, gross, captured, drops, disturbed];
  }, [all, marks]);
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
        name="Readings of this batch over time, with captures, drops and disturbances marked"
        data={data}
        options={drawnBy}
        shown={shown}
      />
      <p class="soft">
        {one === undefined || one.settled === null
          ? 'The line is what the balance showed, a large dot what was captured, a small one a drop, a ring with its number what disturbed it. Draw across to see a part, double-click to see all.'
          : `${one.settled.g} g, settled from ${clock(start + one.settled.since / 1000)} to ${clock(start + one.settled.at / 1000)}: ${one.settled.rule}`}
      </p>
      <Disturbed marks={marks} one={one} />
      <MarksTold marks={marks} one={one} />
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
      {now?.batch === record.batch && now.all.length > 0 && (
        <Drawn all={now.all} marks={now.marks} record={record} />
      )}
      {now?.batch === record.batch && now.all.length === 0 && <p class="soft">No readings were kept.</p>}
    </section>
  );
}
