import { decimal } from '../../../core/quantity/decimal.ts';
import type { RecordFile } from '../../../core/record/record.ts';
import type { PourTrace } from '../batch-traces.ts';
import { codeText } from './code-text.ts';
import { INK, INNER, PAGE, Paper } from './paper.ts';
import { drawCode } from './record-code.ts';
import {
  cautionsOf,
  type Figures,
  figuresOf,
  notAsPlanned,
  percent,
  signedTo,
  spread,
  spreadPercent,
  when,
} from './record-figures.ts';
import { traceCharts } from './trace-charts.ts';
import { unshownNote } from './unshown.ts';

const MARK: Readonly<Record<RecordFile['asMade']['lines'][number]['mark'], string>> = {
  none: 'not poured',
  inside: 'inside',
  over: 'over',
  under: 'under',
  kept: 'kept',
  skipped: 'skipped',
};

const CODE_SIDE = 78;

/** Name, status and the code that opens the record. */
export function head(paper: Paper, record: RecordFile, kind: string): void {
  const { batch } = record;
  const top = PAGE.top;
  drawCode(
    paper.page,
    codeText({ batch: batch.id, hash: record.head.hash }),
    PAGE.left + INNER - CODE_SIDE,
    top - 8,
    CODE_SIDE,
  );
  paper.put(kind, PAGE.left, top + 10, { size: 9, colour: INK.soft });
  paper.y = top + 14;
  const width = INNER - CODE_SIDE - 20;
  const large = { face: 'title', size: 20 } as const;
  const long = paper.lines(batch.name, width, large).length > 2;
  paper.paragraph(batch.name, { ...large, ...(long ? { size: 13 } : {}), width });
  const status =
    batch.status === 'closed'
      ? `Closed ${when(batch.ended ?? batch.started)}`
      : `${batch.status}: not a finished batch`;
  paper.paragraph(status, {
    size: 9,
    colour: batch.status === 'closed' ? INK.good : INK.bad,
    face: 'strong',
  });
  paper.y = Math.max(paper.y + 8, top + CODE_SIDE - 4);
}

/** Pairs of a word and what it says, in two columns. */
export function facts(paper: Paper, pairs: readonly (readonly [string, string])[]): void {
  const half = INNER / 2;
  const label = 68;
  for (let i = 0; i < pairs.length; i += 2) {
    const both = pairs.slice(i, i + 2).map(([word, text]) => ({
      word,
      lines: paper.lines(text, half - label - 8, { size: 8.5 }),
    }));
    const high = Math.max(...both.map(({ lines }) => lines.length)) * 11.5 + 2;
    paper.room(high);
    for (const [j, { word, lines }] of both.entries()) {
      const x = PAGE.left + j * half;
      paper.put(word, x, paper.y + 9, { size: 8.5, colour: INK.soft });
      for (const [k, line] of lines.entries())
        paper.put(line, x + label, paper.y + 9 + k * 11.5, { size: 8.5 });
    }
    paper.y += high;
  }
}

function factsOf(record: RecordFile): (readonly [string, string])[] {
  const { batch, asMade, head: last } = record;
  const { limits } = batch.balance;
  return [
    ['Begun', when(batch.started)],
    ['By', batch.operator === '' ? 'not named' : batch.operator],
    ['Formula', batch.formula],
    ['Record', batch.id],
    [
      'Balance',
      `${batch.balance.name}${batch.balance.serial === undefined ? '' : `, serial number ${batch.balance.serial}`}`,
    ],
    ['Reads to', `${limits.d} g, up to ${limits.capacity} g; s = ${limits.s} g`],
    [
      'Last check',
      batch.balance.check === undefined
        ? 'not checked, or not by this program'
        : `${batch.balance.check.text}${batch.balance.check.overdue ? ' Overdue.' : ''}`,
    ],
    ['Empty vessel', batch.vessel === null ? 'not weighed' : `${batch.vessel} g`],
    ['At closing', batch.gross === null ? 'not closed' : `${batch.gross} g with vessel`],
    ...(batch.follows === undefined ? [] : [['Begins anew', `record ${batch.follows}`] as const]),
    ...(batch.followedBy === undefined ? [] : [['Begun anew by', `record ${batch.followedBy}`] as const]),
    ['Events', `${last.count}, chained by hash`],
    [
      'Cost',
      `${decimal(asMade.cost).toFixed(2)}${asMade.unpriced.length === 0 ? '' : ', some lots without a price'}`,
    ],
  ];
}

/** The three figures a reader looks for first. */
function mainFigures(paper: Paper, record: RecordFile, figures: Figures): void {
  const { asMade, batch } = record;
  const poured = decimal(asMade.total).gt(0);
  const boxes = [
    [
      poured ? `${percent(asMade.strength)} %` : '–',
      poured ? `± ${spreadPercent(asMade.strengthU)} % (k = 2)` : 'nothing was poured',
      'Strength as made, by mass',
    ],
    [`${percent(asMade.targetStrength)} %`, 'by the formula', 'Strength intended'],
    [`${figures.mass(asMade.total)} g`, `± ${spread(asMade.totalU)} g (k = 2)`, 'Total mass'],
    [
      batch.closure === null ? '–' : `${figures.signed(batch.closure)} g`,
      record.closure === null
        ? 'not closed'
        : `${record.closure.verdict}, limit ${spread(record.closure.limit)} g`,
      'Closure',
    ],
  ] as const;
  const wide = INNER / boxes.length;
  paper.y += 8;
  paper.rule(INK.text, 0.8);
  for (const [i, [figure, beside, word]] of boxes.entries()) {
    const x = PAGE.left + i * wide;
    paper.put(word, x, paper.y + 13, { size: 8, colour: INK.soft });
    paper.put(figure, x, paper.y + 32, { size: 16, face: 'title' });
    paper.put(beside, x, paper.y + 45, { size: 8 });
  }
  paper.y += 52;
  paper.rule(INK.text, 0.8);
}

function linesTable(paper: Paper, record: RecordFile, figures: Figures): void {
  paper.heading('What was poured');
  paper.table(
    [
      { title: 'Line', wide: 26 },
      { title: 'Lot', wide: 13 },
      { title: 'Target, g', wide: 12, right: true },
      { title: 'Window, g', wide: 13.5, right: true },
      { title: 'Poured, g', wide: 13, right: true },
      { title: 'U, g', wide: 11.5, right: true },
      { title: 'Off, g', wide: 9.5, right: true },
      { title: 'Off, %', wide: 10.5, right: true },
      { title: 'Drops', wide: 10, right: true },
      { title: '', wide: 13.5 },
    ],
    record.asMade.lines.map((line) => {
      const fine = line.mark === 'inside';
      return [
        { text: line.title },
        { text: line.lot },
        { text: figures.mass(line.target) },
        { text: `± ${figures.mass(line.half)}` },
        { text: figures.mass(line.poured), face: 'strong' as const },
        { text: `± ${spread(line.pouredU)}` },
        { text: figures.signed(line.deviation) },
        { text: line.percent === null ? '–' : signedTo(line.percent, 2) },
        { text: line.drops === null ? '–' : signedTo(line.drops, 1) },
        { text: MARK[line.mark], colour: fine ? INK.good : INK.bad },
      ];
    }),
  );
}

const TONES = ['#1f6f5c', '#7a6a9c', '#a3742f', '#3f5f8a', '#9c2f45', '#6f7f3a', '#4d8f9d', '#8a5a44'];
const SOLVENT_TONES = ['#dfe3e1', '#c9d3d8', '#e8e2d2'];

/** A tone for each part: neat ones dark, solvents light. */
function tonesOf({ asMade }: RecordFile): ReadonlyMap<string, string> {
  const next = { neat: 0, solvent: 0 };
  return new Map(
    asMade.composition.map(({ material, kind }) => {
      const tones = kind === 'neat' ? TONES : SOLVENT_TONES;
      const tone = tones[next[kind] % tones.length] ?? INK.line;
      next[kind] += 1;
      return [material, tone];
    }),
  );
}

/** A part that is at least so wide has its number in it, points. */
const NUMBERED = 9;

/** Strips as wide as the parts, with the numbers that stand before their names in the table. */
function picture(paper: Paper, record: RecordFile, tones: ReadonlyMap<string, string>): void {
  paper.room(30);
  paper.y += 6;
  let x = PAGE.left;
  for (const [i, one] of record.asMade.composition.entries()) {
    const wide = INNER * decimal(one.fraction).toNumber();
    const tone = tones.get(one.material) ?? INK.line;
    if (wide > 0) paper.page.rect(x, paper.y, wide, 12).fillAndStroke(tone, '#ffffff');
    const said = { size: 6.5, colour: one.kind === 'neat' ? '#ffffff' : INK.text };
    const number = String(i + 1);
    if (wide >= NUMBERED) paper.put(number, x + (wide - paper.width(number, said)) / 2, paper.y + 8.5, said);
    x += wide;
  }
  paper.y += 15;
}

function compositionTable(paper: Paper, record: RecordFile): void {
  paper.heading('What is in it, % by mass', 70);
  const tones = tonesOf(record);
  if (decimal(record.asMade.total).gt(0)) picture(paper, record, tones);
  paper.table(
    [
      { title: 'Material', wide: 40 },
      { title: 'Kind', wide: 12 },
      { title: 'CAS', wide: 16 },
      { title: 'As made, %', wide: 16, right: true },
      { title: 'U (k = 2), %', wide: 14, right: true },
      { title: 'By the formula, %', wide: 18, right: true },
    ],
    record.asMade.composition.map((one, i) => [
      { text: `${i + 1} · ${one.name}`, swatch: tones.get(one.material) ?? INK.line },
      { text: one.kind },
      { text: record.materials.find((material) => material.key === one.material)?.cas ?? '–' },
      { text: percent(one.fraction), face: 'strong' as const },
      { text: `± ${spreadPercent(one.fractionU)}` },
      { text: percent(one.target) },
    ]),
  );
}

function rest(paper: Paper, record: RecordFile): void {
  const { asMade } = record;
  paper.heading('Lots');
  const lots = asMade.lots.map((one) => `${one.name} (${one.lot}): ${one.mass} g`).join(' · ');
  paper.paragraph(lots === '' ? 'None: nothing was poured.' : lots, { size: 8.5 });
  const told = notAsPlanned(record);
  paper.heading('Not as planned');
  if (told.length === 0) paper.paragraph('Nothing: every event was that of a plain pour.', { size: 8.5 });
  for (const { n, at, text } of told) paper.paragraph(`${n} · ${when(at)} · ${text}`, { size: 8.5 });
  if (asMade.estimates !== null) {
    const { density, volume, ethanolByVolume, assumed } = asMade.estimates;
    const not = assumed.length === 0 ? '' : ` Density assumed for ${assumed.join(', ')}.`;
    paper.heading('Estimates at 20 °C, from densities as if volumes added up; not measured');
    paper.paragraph(
      `${decimal(density).toFixed(3)} g/mL · ${decimal(volume).toFixed(1)} mL · ethanol ${decimal(ethanolByVolume).times(100).toFixed(1)} % by volume.${not}`,
      { size: 8.5 },
    );
  }
  const cautions = cautionsOf(record);
  if (cautions.length > 0) {
    paper.heading('Cautions');
    paper.paragraph(cautions.join(' · '), { size: 8.5 });
  }
}

/** How the record can be checked, and who signs it. */
function trust(paper: Paper, record: RecordFile): void {
  paper.heading('To check it');
  unshownNote(paper, record);
  paper.paragraph(
    `Every event is chained to the one before it by SHA-256; the last hash stands at the foot of each page. The record file repeats every figure, and "verify" recomputes them all from its events.`,
    { size: 8.5 },
  );
  if (record.signature !== undefined)
    paper.paragraph(
      `The record file is signed (Ed25519). Public key: ${record.signature.publicKey}. Whoever has this key from the maker can check that the record came from there.`,
      { size: 8.5 },
    );
  paper.paragraph(
    'This is a record of what was weighed. It is no assessment of safety: that is for supplier documents, local rules and a qualified assessor.',
    { size: 8.5, colour: INK.soft },
  );
}

/** The foot of a page: the hash that stands for the whole record, and which page it is. */
export const footOf =
  (record: RecordFile) =>
  (page: number, of: number): string[] => [
    `Last hash ${record.head.hash}`,
    `Pourwright · page ${page} of ${of}`,
  ];

/** The as-made record on A4, with a chart of each pour whose readings are given. The same gives the same bytes. */
export async function recordPdf(record: RecordFile, traces: readonly PourTrace[] = []): Promise<Buffer> {
  const { batch } = record;
  const paper = new Paper({
    title: `${batch.name}: as-made record`,
    when: record.events.at(-1)?.at ?? batch.started,
    keywords: `${batch.id} ${record.head.hash}`,
  });
  const figures = figuresOf(record);
  head(paper, record, 'As-made record');
  facts(paper, factsOf(record));
  mainFigures(paper, record, figures);
  linesTable(paper, record, figures);
  compositionTable(paper, record);
  rest(paper, record);
  traceCharts(paper, record, traces);
  trust(paper, record);
  return paper.end(footOf(record));
}
