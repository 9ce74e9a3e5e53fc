import { useEffect, useMemo } from 'preact/hooks';
import type uPlot from 'uplot';
import { momentText } from '../figures/moment.ts';
import { percentText, spreadText } from '../figures/percent.ts';
import { axis, type Ink, Plot } from '../parts/plot.tsx';
import { followFormula, type Strengths, strengths } from '../state/over-all.ts';
import { fragmentOf } from '../state/route.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';
import { Heads } from './heads.tsx';

/** A bar from strength less U to strength plus U, at each batch. */
function bars(ink: Ink, told: Strengths): (plot: uPlot) => void {
  return (plot) => {
    const { ctx } = plot;
    ctx.save();
    ctx.strokeStyle = ink('ink');
    ctx.lineWidth = 2 * devicePixelRatio;
    ctx.beginPath();
    told.forEach((one, at) => {
      const x = plot.valToPos(at + 1, 'x', true);
      const [middle, u] = [Number(one.strength) * 100, Number(one.u) * 100];
      ctx.moveTo(x, plot.valToPos(middle - u, 'y', true));
      ctx.lineTo(x, plot.valToPos(middle + u, 'y', true));
    });
    ctx.stroke();
    ctx.restore();
  };
}

function drawnBy(ink: Ink, told: Strengths): Omit<uPlot.Options, 'width' | 'height'> {
  const shown = (_: uPlot, value: number | null): string => (value === null ? '–' : `${value.toFixed(3)} %`);
  const all = told.flatMap((one) => [
    Number(one.strength) * 100 - Number(one.u) * 100,
    Number(one.strength) * 100 + Number(one.u) * 100,
    Number(one.target) * 100,
  ]);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const room = Math.max((high - low) / 8, 0.01);
  return {
    scales: {
      x: { time: false, range: () => [0.5, told.length + 0.5] },
      y: { range: () => [low - room, high + room] },
    },
    axes: [
      axis(ink, { label: 'batch, the oldest first', incrs: [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000] }),
      axis(ink, { label: 'strength, %', size: 72 }),
    ],
    series: [
      { label: 'batch', value: (_, value) => (value === null ? '–' : String(value)) },
      {
        label: 'as made',
        stroke: ink('ink'),
        paths: () => null,
        points: { show: true, size: 9, fill: ink('ink') },
        value: shown,
      },
      { label: 'by the formula', stroke: ink('verdigris'), width: 2, points: { show: false }, value: shown },
    ],
    hooks: { draw: [bars(ink, told)] },
  };
}

function Followed({ told }: { told: Strengths }) {
  const data = useMemo(
    (): uPlot.AlignedData => [
      told.map((_, at) => at + 1),
      told.map((one) => Number(one.strength) * 100),
      told.map((one) => Number(one.target) * 100),
    ],
    [told],
  );
  if (told.length === 0) return <p>No batch of this formula has been closed.</p>;
  return (
    <>
      {told.length > 1 && (
        <Plot
          name="Strength as made of each batch with its U, and strength by the formula; the table tells the same"
          data={data}
          options={(ink) => drawnBy(ink, told)}
        />
      )}
      <table>
        <caption>Strength of its batches</caption>
        <Heads
          of={['Batch', 'Begun', { figures: 'As made' }, { figures: 'U (k = 2)' }, { figures: 'Target' }]}
        />
        <tbody>
          {told.map((one, at) => (
            <tr key={one.batch}>
              <th scope="row">
                <a href={fragmentOf('records', one.batch)}>
                  {at + 1}, {one.name}
                </a>
              </th>
              <td class="soft">{momentText(one.started)}</td>
              <td class="mass">{percentText(one.strength, 3)}</td>
              <td class="mass">± {spreadText(one.u)}</td>
              <td class="mass soft">{percentText(one.target, 3)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** Strength of one formula over time, each batch with its uncertainty. */
export function StrengthOverTime() {
  useEffect(() => void fetchFormulas(), []);
  const now = strengths.value;
  return (
    <section aria-labelledby="strengths">
      <h2 id="strengths" class="caption">
        Strength over time
      </h2>
      <label class="trace-pick">
        Formula
        <select
          value={now?.formula ?? ''}
          onChange={(event) => void followFormula(event.currentTarget.value)}
        >
          <option value="">choose one</option>
          {formulas.value?.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
      </label>
      {now !== null && <Followed told={now.told} />}
    </section>
  );
}
