import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type uPlot from 'uplot';
import { momentText } from '../figures/moment.ts';
import { axis, type Ink, Plot } from '../parts/plot.tsx';
import { Press } from '../parts/press.tsx';
import type { HistoryRow } from '../state/care.ts';
import { VerdictShape } from './verdict.tsx';

const DAYS_2 = 2 * 86_400;

/** Days along the scale; times of the day where it spans less than two. */
function ticks(splits: readonly number[]): string[] {
  const short = (splits.at(-1) ?? 0) - (splits[0] ?? 0) < DAYS_2;
  return splits.map((seconds) => {
    const at = new Date(seconds * 1000);
    return short
      ? at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })
      : at.toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });
  });
}

const grams = (_: uPlot, value: number | null): string =>
  value === null || value === undefined ? '–' : `${value} g`;

function drawnBy(what: string): (ink: Ink) => Omit<uPlot.Options, 'width' | 'height'> {
  return (ink) => {
    const limit = (label: string): uPlot.Series => ({
      label,
      stroke: ink('madder'),
      width: 1.5,
      dash: [7, 5],
      points: { show: false },
      value: grams,
    });
    return {
      scales: { x: { time: true } },
      axes: [
        axis(ink, { values: (_, splits) => ticks(splits), space: 90 }),
        axis(ink, { label: `${what}, g`, size: 72 }),
      ],
      series: [
        {
          label: 'at',
          value: (_, value) => (value === null ? '–' : momentText(new Date(value * 1000).toISOString())),
        },
        {
          label: what,
          stroke: ink('slate'),
          width: 1.5,
          points: { show: true, size: 9, width: 2, stroke: ink('slate'), fill: ink('slate') },
          value: grams,
        },
        limit('low limit'),
        limit('high limit'),
      ],
    };
  };
}

/** What was found over time, between the limits that held for each check. */
function Chart({ rows }: { readonly rows: readonly HistoryRow[] }) {
  const told = rows.flatMap(({ at, main }) => (main === null ? [] : [{ at, main }])).toReversed();
  const what = told[0]?.main.what ?? '';
  const data = useMemo((): uPlot.AlignedData => {
    const number = (text: string | null): number | null => (text === null ? null : Number(text));
    return [
      told.map(({ at }) => Date.parse(at) / 1000),
      told.map(({ main }) => Number(main.g)),
      told.map(({ main }) => number(main.low)),
      told.map(({ main }) => number(main.high)),
    ];
  }, [rows]);
  const options = useMemo(() => drawnBy(what), [what]);
  if (told.length < 2) return null;
  return (
    <Plot
      name={`${what} over time, each check as a dot, with its limits as broken lines`}
      data={data}
      options={options}
    />
  );
}

function Figures({ row }: { readonly row: HistoryRow }) {
  return (
    <div class="figures">
      {row.result !== null && <Found result={row.result} />}
      <table>
        <caption>Every figure that was taken</caption>
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col" class="mass">
              Figure
            </th>
            <th scope="col">How it rested</th>
          </tr>
        </thead>
        <tbody>
          {row.taken.map((one, i) => (
            <tr key={i} data-void={one.void !== null}>
              <th scope="row">{one.label}</th>
              <td class="mass">{one.g} g</td>
              <td class="soft">
                {one.void === null ? one.rule : `does not count: ${one.void}`}
                {one.odd !== null && ` · ${one.odd}`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The published rules beside a check. */
export function Rules({ rules }: { readonly rules: readonly string[] }) {
  return (
    <ul class="rules soft">
      {rules.map((rule) => (
        <li key={rule}>{rule}</li>
      ))}
    </ul>
  );
}

/** What a check found: each figure beside its limit, and the published rules. */
export function Found({ result }: { readonly result: NonNullable<HistoryRow['result']> }) {
  return (
    <div class="found-beside">
      <table class="found">
        <caption>What was found</caption>
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col" class="mass">
              Found
            </th>
            <th scope="col" class="mass">
              Limit
            </th>
            <th scope="col">
              <span class="unseen">Verdict</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {result.rows.map((row) => (
            <tr key={row.label}>
              <th scope="row">{row.label}</th>
              <td class="mass">{row.figure}</td>
              <td class="mass soft">{row.limit ?? ''}</td>
              <td>
                {(row.ok !== null || row.limit !== null) && (
                  <VerdictShape verdict={row.ok === null ? 'doubtful' : row.ok ? 'pass' : 'fail'} />
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Rules rules={result.rules} />
    </div>
  );
}

function Row({ row }: { readonly row: HistoryRow }) {
  const open = useSignal(false);
  const id = `check-${row.n}`;
  return (
    <tbody>
      <tr>
        <td class="when">
          <time dateTime={row.at}>{momentText(row.at)}</time>
        </td>
        <td>
          <VerdictShape verdict={row.verdict} />
        </td>
        <td>{row.text}</td>
        <td>
          <button
            type="button"
            class="press slim"
            aria-expanded={open.value}
            aria-controls={id}
            onClick={() => {
              open.value = !open.value;
            }}
          >
            Figures<span class="unseen"> of {momentText(row.at)}</span>
          </button>
        </td>
      </tr>
      <tr id={id} hidden={!open.value}>
        <td colSpan={4}>{open.value && <Figures row={row} />}</td>
      </tr>
    </tbody>
  );
}

/** Rows shown at once; more on asking. */
const PAGE = 20;

/** Every check of one kind: a chart between its limits, and the table. Nothing is ever deleted. */
export function Past({ rows }: { readonly rows: readonly HistoryRow[] }) {
  const shown = useSignal(PAGE);
  return (
    <section class="past" aria-labelledby="past">
      <h3 id="past" class="caption">
        So far
      </h3>
      {rows.length === 0 ? (
        <p class="soft">None was made yet.</p>
      ) : (
        <>
          <Chart rows={rows} />
          <table>
            <thead>
              <tr>
                <th scope="col">Ended</th>
                <th scope="col">Verdict</th>
                <th scope="col">Found</th>
                <th scope="col">
                  <span class="unseen">Figures</span>
                </th>
              </tr>
            </thead>
            {rows.slice(0, shown.value).map((row) => (
              <Row key={row.n} row={row} />
            ))}
          </table>
          {rows.length > shown.value && (
            <Press
              slim
              onPress={() => {
                shown.value += PAGE;
              }}
            >
              Show more of {rows.length}
            </Press>
          )}
        </>
      )}
    </section>
  );
}
