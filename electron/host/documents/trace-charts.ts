import type { RecordFile } from '../../../core/record/record.ts';
import type { PourTrace } from '../batch-traces.ts';
import { INK, INNER, PAGE, type Paper, type Style } from './paper.ts';
import { thinned } from './thinned.ts';

const COLUMNS = 3;
const GAP = 14;
const HIGH = 66;
const TITLE = 20;
const WIDE = (INNER - (COLUMNS - 1) * GAP) / COLUMNS;
/** A third of a point, 216 to the inch: narrower than the line that is drawn. */
const STRIPS = Math.ceil(WIDE * 3);

type Mark = PourTrace['marks'][number];
const CAPTURES: ReadonlySet<Mark['kind']> = new Set(['capture', 'revision']);
const DROPS: ReadonlySet<Mark['kind']> = new Set(['drop', 'stream']);

/** Where a moment and a mass lie in a box; a trace that never moved lies in its middle. */
function scaleOf({ readings, marks }: PourTrace, x: number, y: number) {
  const from = readings[0]?.at ?? 0;
  const span = Math.max((readings.at(-1)?.at ?? 0) - from, 1);
  const masses = [...readings, ...marks].flatMap(({ g }) => (g === null ? [] : [Number(g)]));
  const low = masses.reduce((least, g) => Math.min(least, g), Number.POSITIVE_INFINITY);
  const high = masses.reduce((most, g) => Math.max(most, g), Number.NEGATIVE_INFINITY);
  const rise = high - low;
  const top = y + 6;
  const tall = HIGH - 12;
  return {
    low,
    high,
    seconds: span / 1000,
    across: (at: number): number => x + ((at - from) / span) * WIDE,
    up: (g: number): number => (rise > 0 ? top + tall * (1 - (g - low) / rise) : top + tall / 2),
  };
}

type Scale = ReturnType<typeof scaleOf>;

/** Last reading at or before a moment, g. */
const levelAt = ({ readings }: PourTrace, moment: number): number =>
  Number((readings.findLast(({ at }) => at <= moment) ?? readings[0])?.g ?? 0);

function drawMark(page: PDFKit.PDFDocument, { kind }: Mark, x: number, y: number): void {
  if (CAPTURES.has(kind)) page.circle(x, y, 2.2).fill(INK.good);
  else if (DROPS.has(kind))
    page
      .moveTo(x, y - 4)
      .lineTo(x, y - 1)
      .lineWidth(0.6)
      .stroke(INK.text);
  else if (kind !== 'begun') page.polygon([x, y - 3], [x + 3, y], [x, y + 3], [x - 3, y]).fill(INK.bad);
}

/** As much of a text as fits one line; what is left out is told by an ellipsis. */
function fitted(paper: Paper, text: string, style: Style): string {
  if (paper.width(text, style) <= WIDE) return text;
  const letters = [...text];
  while (letters.length > 0 && paper.width(`${letters.join('').trimEnd()}…`, style) > WIDE) letters.pop();
  return `${letters.join('').trimEnd()}…`;
}

/** Readings further apart than this are not joined, in ms. */
const APART = 3000;

/** What was read, broken off where nothing was. */
function drawLine(page: PDFKit.PDFDocument, readings: PourTrace['readings'], scale: Scale): void {
  const begins = readings.flatMap(({ at }, i) => (at - (readings[i - 1]?.at ?? at) > APART ? [at] : []));
  let before = Number.NEGATIVE_INFINITY;
  for (const { at, g } of thinned(readings, STRIPS)) {
    const [x, y] = [scale.across(at), scale.up(Number(g))];
    const anew = before === Number.NEGATIVE_INFINITY || begins.some((one) => one > before && one <= at);
    if (anew) page.moveTo(x, y);
    else page.lineTo(x, y);
    before = at;
  }
  page.lineWidth(0.6).stroke('#3b4f73');
}

function chart(paper: Paper, record: RecordFile, trace: PourTrace, x: number, y: number): void {
  const { page } = paper;
  const pour = record.pours.find((one) => one.pour === trace.pour);
  const title = record.asMade.lines.find((one) => one.line === pour?.line)?.title ?? pour?.line ?? '';
  const name = { size: 7.5, face: 'strong' } as const;
  paper.put(fitted(paper, `${trace.pour} · ${title}`, name), x, y + 8, name);
  const scale = scaleOf(trace, x, y + 11);
  const { low, high, seconds, across, up } = scale;
  page
    .rect(x, y + 11, WIDE, HIGH)
    .lineWidth(0.4)
    .stroke(INK.line);
  const [start] = trace.readings;
  if (start === undefined) return;
  drawLine(page, trace.readings, scale);
  for (const mark of trace.marks)
    drawMark(page, mark, across(mark.at), up(mark.g === null ? levelAt(trace, mark.at) : Number(mark.g)));
  const decimals = start.g.split('.')[1]?.length ?? 0;
  const said = { size: 6.5, colour: INK.soft };
  paper.put(`${low.toFixed(decimals)} to ${high.toFixed(decimals)} g gross`, x, y + HIGH + TITLE - 1, said);
  paper.put(`${seconds.toFixed(0)} s`, x, y + HIGH + TITLE - 1, { ...said, right: WIDE });
}

/** Small charts of every pour that readings were kept of: what the balance showed, and what is marked on it. */
export function traceCharts(paper: Paper, record: RecordFile, traces: readonly PourTrace[]): void {
  if (traces.length === 0) return;
  paper.heading('What the balance showed', HIGH + TITLE + 24);
  paper.paragraph(
    'One chart a pour, gross over time, each on its own scale. ● captured or revised · strokes: drops told from the readings, an aid to reading and never a figure · ◆ voided, lifted, knocked, set to zero, overloaded or lost.',
    { size: 7.5, colour: INK.soft, after: 4 },
  );
  for (let i = 0; i < traces.length; i += COLUMNS) {
    paper.room(HIGH + TITLE + 6);
    for (const [j, trace] of traces.slice(i, i + COLUMNS).entries())
      chart(paper, record, trace, PAGE.left + j * (WIDE + GAP), paper.y);
    paper.y += HIGH + TITLE + 6;
  }
}
