import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type uPlot from 'uplot';
import { momentText } from '../figures/moment.ts';
import { axis, type Ink, Plot } from '../parts/plot.tsx';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { beginLesson } from '../state/lesson.ts';
import {
  course,
  type Feedback,
  feedback,
  fetchCourse,
  openAttempt,
  openReview,
  practiceHref,
} from '../state/practice.ts';
import { fragmentOf } from '../state/route.ts';

interface Marked {
  readonly no: number;
  readonly at: number;
  readonly says: string;
}

/** Every moment that a rule names, numbered in the order of time. */
function momentsOf({ findings }: Feedback): Marked[] {
  return findings
    .flatMap(({ moments }) => moments)
    .sort((a, b) => a.at - b.at)
    .map((one, i) => ({ ...one, no: i + 1 }));
}

const clockOf = (seconds: number): string => {
  if (seconds < 60) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
};

/** How long it took: seconds where it was less than a minute. */
const lasted = (minutes: number): string =>
  minutes < 1 ? `${Math.round(60 * minutes)} s` : `${minutes.toFixed(1)} minutes`;

/** The reading at a moment: the last before it. */
function levelAt(trace: Feedback['trace'], at: number): number | null {
  const before = trace.findLast(([t]) => t <= at) ?? trace[0];
  return before === undefined ? null : before[1];
}

/** Columns of one length: seconds, gross, and the moments on the line. */
function columns({ trace }: Feedback, marks: readonly Marked[]): uPlot.AlignedData {
  const rows = [
    ...trace.map(([at, g]) => ({ at, g: g as number | null, mark: undefined as number | null | undefined })),
    ...marks.map(({ at }) => ({ at, g: undefined as number | null | undefined, mark: levelAt(trace, at) })),
  ].sort((a, b) => a.at - b.at);
  return [rows.map((one) => one.at), rows.map((one) => one.g), rows.map((one) => one.mark)];
}

/** Room above the line for the numbers of its moments, and no more than the readings need. */
function roomFor(low: number | null, high: number | null): [number, number] {
  const [from, to] = [low ?? 0, high ?? 1];
  const span = Math.max(0.1, to - from);
  return [from - 0.06 * span, to + 0.18 * span];
}

/** Room that a character of a number over the line takes, px. */
const CHARACTER_WIDTH = 9;

/** Moments that one number or a span of numbers stands for: the first and the last of them. */
type Group = readonly [Marked, Marked];

const numberOf = ([first, last]: Group): string =>
  first === last ? String(first.no) : `${first.no}–${last.no}`;

/** Moments whose numbers would lie on each other, together. `room` is that of a character, in the unit of `xOf`. */
function sideBySide(marks: readonly Marked[], xOf: (at: number) => number, room: number): Group[] {
  const groups: Group[] = [];
  for (const mark of marks) {
    const open = groups.at(-1);
    const needs =
      open === undefined ? 0 : ((numberOf(open).length + String(mark.no).length) / 2 + 0.5) * room;
    if (open !== undefined && xOf(mark.at) - xOf(open[0].at) < needs)
      groups[groups.length - 1] = [open[0], mark];
    else groups.push([mark, mark]);
  }
  return groups;
}

/** Seconds under an axis, with as many digits as tell two splits apart. */
const splitsText = (splits: readonly number[]): string[] =>
  (splits[1] ?? 1) - (splits[0] ?? 0) < 0.1
    ? splits.map((one) => `${one.toFixed(2)} s`)
    : splits.map(clockOf);

const drawnBy =
  (trace: Feedback['trace'], marks: readonly Marked[]) =>
  (ink: Ink): Omit<uPlot.Options, 'width' | 'height'> => ({
    scales: { x: { time: false }, y: { range: (_, low, high) => roomFor(low, high) } },
    legend: { show: false },
    axes: [
      axis(ink, { values: (_, splits) => splitsText(splits), label: 'since the beginning', space: 80 }),
      axis(ink, { label: 'gross, g', size: 64 }),
    ],
    series: [
      {},
      { stroke: ink('slate'), width: 1.5, points: { show: false }, spanGaps: true },
      {
        paths: () => null,
        points: { show: true, size: 12, width: 2, stroke: ink('madder'), fill: ink('madder') },
      },
    ],
    hooks: {
      draw: [
        (plot) => {
          const { ctx, bbox } = plot;
          ctx.save();
          ctx.fillStyle = ink('madder');
          ctx.font = `600 ${13 * devicePixelRatio}px "Inter Variable", sans-serif`;
          ctx.textAlign = 'center';
          const xOf = (at: number): number => plot.valToPos(at, 'x', true);
          for (const group of sideBySide(marks, xOf, CHARACTER_WIDTH * devicePixelRatio)) {
            const [first] = group;
            const level = levelAt(trace, first.at);
            const x = xOf(first.at);
            if (level === null || x < bbox.left || x > bbox.left + bbox.width) continue;
            const y = plot.valToPos(level, 'y', true);
            ctx.fillText(numberOf(group), x, y - 12 * devicePixelRatio);
          }
          ctx.restore();
        },
      ],
    },
  });

/** A moment is looked at with so many seconds on both sides. */
const AROUND = 4;

function OnTheTrace({ told }: { told: Feedback }) {
  const picked = useSignal<number | null>(null);
  const marks = useMemo(() => momentsOf(told), [told]);
  const data = useMemo(() => columns(told, marks), [told, marks]);
  const options = useMemo(() => drawnBy(told.trace, marks), [told, marks]);
  const at = marks.find((one) => one.no === picked.value)?.at;
  const shown = useMemo(() => (at === undefined ? null : { min: at - AROUND, max: at + AROUND }), [at]);
  if (told.trace.length === 0) return <p class="soft">No readings were kept.</p>;
  return (
    <section class="on-trace" aria-labelledby="on-trace">
      <h3 id="on-trace" class="caption">
        On the trace
      </h3>
      <Plot
        name="What the balance showed over time; the moments named below are numbered on it"
        data={data}
        options={options}
        shown={shown}
      />
      {marks.length > 0 && (
        <ol class="moments">
          {marks.map(({ no, at: when, says }) => (
            <li key={no}>
              <button
                type="button"
                class="moment"
                aria-pressed={picked.value === no}
                onClick={() => {
                  picked.value = picked.value === no ? null : no;
                }}
              >
                <b class="moment-no">{no}</b>
                <span class="soft">{clockOf(when)}</span>
                <span>{says}</span>
              </button>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

function Findings({ findings }: { findings: Feedback['findings'] }) {
  return (
    <table class="findings">
      <caption>By which rules</caption>
      <thead>
        <tr>
          <th scope="col">Rule</th>
          <th scope="col">What was seen</th>
          <th scope="col" class="mass">
            Weight
          </th>
          <th scope="col" class="mass">
            Of 100
          </th>
        </tr>
      </thead>
      <tbody>
        {findings.map(({ rule, title, sentence, says, weight, mark }) => (
          <tr key={rule}>
            <th scope="row">
              {title}
              <small>{sentence}</small>
            </th>
            <td>{says}</td>
            <td class="mass">{weight}</td>
            <td class="mass">{mark}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Ways({ told }: { told: Feedback }) {
  const lessons = course.value?.lessons ?? [];
  const here = lessons.findIndex((one) => one.id === told.lesson);
  const next = here < 0 ? undefined : lessons[here + 1];
  const { lesson } = told;
  return (
    <div class="row">
      {lesson !== null && (
        <Press primary onPress={() => void beginLesson(lesson, 'simulated')}>
          Do it again
        </Press>
      )}
      {next !== undefined && <a href={practiceHref('lesson', next.id)}>Next: {next.title}</a>}
      <a href={practiceHref('')}>The course</a>
    </div>
  );
}

function Sheet({ told }: { told: Feedback }) {
  const review = told.n === null;
  return (
    <section class="paper feedback" aria-labelledby="feedback" {...scrolls}>
      <header class="feedback-head">
        <div>
          <h2 id="feedback">{told.title}</h2>
          <p class="soft">
            {told.who} · {momentText(told.began)} · {lasted(told.minutes)} · {told.balance}
          </p>
        </div>
        <p class="score">
          <span class="score-figure">{told.score ?? '–'}</span>
          <span class="soft">of 100 · {told.word}</span>
        </p>
      </header>
      {review && (
        <p class="asked">
          A batch of the workshop, looked at by the rules of lessons. Nothing is stored, and its record stays
          as it is.
        </p>
      )}
      <section class="try-next" aria-labelledby="try-next">
        <h3 id="try-next">One thing to try next</h3>
        <p>{told.next ?? 'Nothing: every rule was kept. Go on to the next lesson.'}</p>
      </section>
      <OnTheTrace told={told} />
      <Findings findings={told.findings} />
      {!review && <Ways told={told} />}
    </section>
  );
}

/** Feedback on one attempt. */
export function AttemptLeaf({ of }: { of: string }) {
  useEffect(() => {
    void fetchCourse();
    void openAttempt(Number(of));
  }, [of]);
  const told = feedback.value;
  return told === null || String(told.n) !== of ? null : <Sheet told={told} />;
}

/** A batch of the workshop, reviewed as an exercise. */
export function ReviewLeaf({ of }: { of: string }) {
  useEffect(() => void openReview(of), [of]);
  const told = feedback.value;
  if (told === null || told.n !== null) return null;
  return (
    <div class="review">
      <p class="back">
        <a href={fragmentOf('records', of)}>Back to its record</a>
      </p>
      <Sheet told={told} />
    </div>
  );
}
