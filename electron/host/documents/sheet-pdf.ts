import type { RecordFile } from '../../../core/record/record.ts';
import { INK, INNER, PAGE, Paper } from './paper.ts';
import { cautionsOf, figuresOf, percent, spreadPercent, when } from './record-figures.ts';
import { facts, footOf, head } from './record-pdf.ts';
import { unshownNote } from './unshown.ts';

/** Space for what is written by hand. */
function ruled(paper: Paper, lines: number): void {
  for (let i = 0; i < lines; i += 1) {
    paper.room(20);
    paper.y += 20;
    paper.rule();
  }
}

function byHand(paper: Paper, words: readonly string[]): void {
  const wide = INNER / words.length;
  paper.room(40);
  paper.y += 30;
  for (const [i, word] of words.entries()) {
    const x = PAGE.left + i * wide;
    paper.page
      .moveTo(x, paper.y)
      .lineTo(x + wide - 16, paper.y)
      .lineWidth(0.4)
      .stroke(INK.soft);
    paper.put(word, x, paper.y + 10, { size: 7.5, colour: INK.soft });
  }
  paper.y += 14;
}

function steps(paper: Paper, record: RecordFile): void {
  const figures = figuresOf(record);
  paper.heading('Poured, in this order');
  const order = [...new Set(record.pours.filter((pour) => !pour.voided).map((pour) => pour.line))];
  const lines = [...record.asMade.lines].sort((a, b) => {
    const place = (line: string): number => (order.includes(line) ? order.indexOf(line) : order.length);
    return place(a.line) - place(b.line);
  });
  paper.table(
    [
      { title: '', wide: 5 },
      { title: 'Line', wide: 34 },
      { title: 'Lot', wide: 18 },
      { title: 'Target, g', wide: 14, right: true },
      { title: 'Poured, g', wide: 14, right: true },
      { title: 'Remark', wide: 30 },
    ],
    lines.map((line, i) => [
      { text: String(i + 1) },
      { text: line.title, face: 'strong' as const },
      { text: line.lot },
      { text: figures.mass(line.target) },
      { text: figures.mass(line.poured), face: 'strong' as const },
      { text: line.mark === 'inside' ? '' : line.mark, colour: INK.bad },
    ]),
    10,
  );
}

/** The sheet for the folder: what was poured in large type, and room for what is written by hand. */
export async function sheetPdf(record: RecordFile): Promise<Buffer> {
  const { batch, asMade } = record;
  const figures = figuresOf(record);
  const paper = new Paper({
    title: `${batch.name}: batch sheet`,
    when: record.events.at(-1)?.at ?? batch.started,
    keywords: `${batch.id} ${record.head.hash}`,
  });
  head(paper, record, 'Batch sheet');
  facts(paper, [
    ['Begun', when(batch.started)],
    ['By', batch.operator === '' ? 'not named' : batch.operator],
    ['Total', `${figures.mass(asMade.total)} g`],
    ['Strength', `${percent(asMade.strength)} ± ${spreadPercent(asMade.strengthU)} % by mass (k = 2)`],
    ['Balance', batch.balance.name],
    ['Record', batch.id],
  ]);
  steps(paper, record);
  const cautions = cautionsOf(record);
  if (cautions.length > 0) {
    paper.heading('Cautions');
    paper.paragraph(cautions.join(' · '));
  }
  for (const { at, who, why, text } of record.amendments ?? [])
    paper.paragraph(`Amended ${when(at)} by ${who}, because ${why}: ${text}`, { size: 8.5, colour: INK.bad });
  unshownNote(paper, record);
  paper.heading('Rest, filter, bottle', 60);
  byHand(paper, ['Stands until', 'Filtered on', 'Bottled on', 'Best before']);
  paper.heading('Remarks', 100);
  ruled(paper, 7);
  byHand(paper, ['Checked by', 'Date']);
  return paper.end(footOf(record));
}
