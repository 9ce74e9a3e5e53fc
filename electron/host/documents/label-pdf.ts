import { mainFont, runsOf, widthOf } from './fonts.ts';
import { pdfLibrary } from './libraries.ts';
import { INK } from './paper.ts';
import { type CodeSymbol, drawSymbol } from './symbol.ts';

/** A label ready to be drawn; lengths in mm from its upper left corner, sizes in points. */
export interface DrawnLabel {
  readonly lines: readonly {
    readonly text: string;
    readonly x: number;
    readonly y: number;
    readonly size: number;
    readonly face: 'text' | 'strong' | 'title';
  }[];
  readonly code: { readonly x: number; readonly y: number; readonly side: number } | null;
  readonly symbol: CodeSymbol;
}

/** One page: its places in mm, each with the label on it, and the line to measure. */
export interface DrawnSheet {
  readonly page: { readonly width: number; readonly height: number };
  readonly label: { readonly width: number; readonly height: number };
  readonly round: boolean;
  /** Draws the edge of each place: of those with a label, or of all of them. */
  readonly edges: 'none' | 'labels' | 'all';
  readonly ruler: { readonly x: number; readonly y: number; readonly length: number } | null;
  readonly places: readonly { readonly x: number; readonly y: number; readonly label: DrawnLabel | null }[];
}

const POINTS = 72 / 25.4;

function drawLabel(doc: PDFKit.PDFDocument, x: number, y: number, { lines, code, symbol }: DrawnLabel): void {
  for (const { text, face, size, ...at } of lines) {
    let left = (x + at.x) * POINTS;
    for (const run of runsOf(face, text)) {
      doc.font(run.font).fontSize(size).fillColor('#000000');
      doc.text(run.text, left, (y + at.y) * POINTS, { lineBreak: false, baseline: 'alphabetic' });
      left += doc.widthOfString(run.text);
    }
  }
  if (code !== null)
    drawSymbol(doc, symbol, (x + code.x) * POINTS, (y + code.y) * POINTS, code.side * POINTS);
}

function drawRuler(doc: PDFKit.PDFDocument, { x, y, length }: NonNullable<DrawnSheet['ruler']>): void {
  const [from, to, at] = [x * POINTS, (x + length) * POINTS, y * POINTS];
  doc.moveTo(from, at).lineTo(to, at);
  for (let mm = 0; mm <= length; mm += length > 20 ? 10 : 5)
    doc.moveTo(from + mm * POINTS, at - 3).lineTo(from + mm * POINTS, at + 3);
  doc.lineWidth(0.4).stroke(INK.text);
  const words = length > 20 ? `${length} mm, if the printer scales nothing` : `${length} mm`;
  const left = from + (length * POINTS - widthOf('text', words, 6)) / 2;
  doc.font(mainFont('text')).fontSize(6).fillColor(INK.soft);
  doc.text(words, left, at + 9, { lineBreak: false, baseline: 'alphabetic' });
}

function drawEdge(doc: PDFKit.PDFDocument, x: number, y: number, { label, round }: DrawnSheet): void {
  if (round)
    doc.circle((x + label.width / 2) * POINTS, (y + label.width / 2) * POINTS, (label.width / 2) * POINTS);
  else doc.rect(x * POINTS, y * POINTS, label.width * POINTS, label.height * POINTS);
  doc.lineWidth(0.3).stroke(INK.line);
}

function drawSheet(doc: PDFKit.PDFDocument, sheet: DrawnSheet): void {
  for (const { x, y, label } of sheet.places) {
    if (sheet.edges === 'all' || (sheet.edges === 'labels' && label !== null)) drawEdge(doc, x, y, sheet);
    if (label !== null) drawLabel(doc, x, y, label);
  }
  if (sheet.ruler !== null) drawRuler(doc, sheet.ruler);
}

/** Sheets of labels as PDF, every page as large as its paper; the fonts lie in it. */
export function labelPdf(sheets: readonly DrawnSheet[], title: string, when: Date): Promise<Buffer> {
  const PDFDocument = pdfLibrary();
  const doc = new PDFDocument({
    autoFirstPage: false,
    font: mainFont('text'),
    margin: 0,
    lang: 'en',
    displayTitle: true,
    info: { Title: title, Creator: 'Pourwright', Producer: 'Pourwright', CreationDate: when, ModDate: when },
  });
  const chunks: Buffer[] = [];
  const bytes = new Promise<Buffer>((done, failed) => {
    doc.on('data', (chunk: Buffer) => chunks.push(chunk));
    doc.on('end', () => done(Buffer.concat(chunks)));
    doc.on('error', failed);
  });
  for (const sheet of sheets) {
    doc.addPage({ size: [sheet.page.width * POINTS, sheet.page.height * POINTS], margin: 0 });
    drawSheet(doc, sheet);
  }
  doc.end();
  return bytes;
}
