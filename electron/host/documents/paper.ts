import { wrap } from '../../../core/record/wrap.ts';
import { type Face, mainFont, type Run, runsOf } from './fonts.ts';
import { pdfLibrary } from './libraries.ts';

/** A4 in points, and its margins. */
export const PAGE = { width: 595.28, height: 841.89, left: 45, right: 45, top: 42, bottom: 52 } as const;
export const INNER = PAGE.width - PAGE.left - PAGE.right;

export const INK = {
  text: '#1d2329',
  soft: '#5a646d',
  line: '#b9c0c5',
  good: '#1f6f5c',
  bad: '#9c2f45',
} as const;

/** Between two columns of a table. */
const GAP = 9;

export interface Style {
  readonly face?: Face;
  readonly size?: number;
  readonly colour?: string;
}

export interface Column {
  readonly title: string;
  /** Share of the width. */
  readonly wide: number;
  readonly right?: boolean;
}

export interface Cell {
  readonly text: string;
  readonly colour?: string;
  readonly face?: Face;
  /** A small square of this colour before the text. */
  readonly swatch?: string;
}

interface Placed extends Run {
  readonly width: number;
}

/** A document under way: text and tables from the top down, on as many pages as they need. Distances in points. */
export class Paper {
  readonly #doc: PDFKit.PDFDocument;
  readonly #bytes: Promise<Buffer>;
  /** Baseline of the next line lies below this. */
  y: number = PAGE.top;

  constructor(info: { readonly title: string; readonly when: string; readonly keywords: string }) {
    const PDFDocument = pdfLibrary();
    this.#doc = new PDFDocument({
      size: 'A4',
      margin: 0,
      font: mainFont('text'),
      bufferPages: true,
      lang: 'en',
      displayTitle: true,
      info: {
        Title: info.title,
        Creator: 'Pourwright',
        Producer: 'Pourwright',
        Keywords: info.keywords,
        CreationDate: new Date(info.when),
        ModDate: new Date(info.when),
      },
    });
    const chunks: Buffer[] = [];
    this.#bytes = new Promise((done, failed) => {
      this.#doc.on('data', (chunk: Buffer) => chunks.push(chunk));
      this.#doc.on('end', () => done(Buffer.concat(chunks)));
      this.#doc.on('error', failed);
    });
  }

  /** The drawing surface of the present page. */
  get page(): PDFKit.PDFDocument {
    return this.#doc;
  }

  #placed(text: string, { face = 'text', size = 9 }: Style): Placed[] {
    return runsOf(face, text).map((run) => ({
      ...run,
      width: this.#doc.font(run.font).fontSize(size).widthOfString(run.text),
    }));
  }

  width(text: string, style: Style = {}): number {
    return this.#placed(text, style).reduce((sum, run) => sum + run.width, 0);
  }

  /** Lines of at most `width`; a word that is longer is broken where it must be. */
  lines(text: string, width: number, style: Style = {}): string[] {
    return wrap(text, width, (part) => this.width(part, style));
  }

  /** One line with its baseline at `y`; `align` right ends at x + width. */
  put(text: string, x: number, y: number, style: Style & { readonly right?: number } = {}): void {
    const { size = 9, colour = INK.text } = style;
    const runs = this.#placed(text, style);
    let at = x;
    if (style.right !== undefined) at = x + style.right - runs.reduce((sum, run) => sum + run.width, 0);
    for (const run of runs) {
      this.#doc.font(run.font).fontSize(size).fillColor(colour);
      this.#doc.text(run.text, at, y, { lineBreak: false, baseline: 'alphabetic' });
      at += run.width;
    }
  }

  /** Begins a page when less than `height` is left on this one. @returns whether it did */
  room(height: number): boolean {
    if (this.y + height <= PAGE.height - PAGE.bottom) return false;
    this.#doc.addPage();
    this.y = PAGE.top;
    return true;
  }

  /** Running text over the whole width, or `width` of it. */
  paragraph(text: string, style: Style & { readonly width?: number; readonly after?: number } = {}): void {
    const size = style.size ?? 9;
    for (const line of this.lines(text, style.width ?? INNER, style)) {
      this.room(size * 1.4);
      this.y += size * 1.4;
      this.put(line, PAGE.left, this.y - size * 0.35, style);
    }
    this.y += style.after ?? 0;
  }

  heading(text: string, keep = 40): void {
    this.room(keep + 24);
    this.y += 20;
    this.put(text, PAGE.left, this.y, { face: 'strong', size: 10 });
    this.y += 4;
    this.rule(INK.text, 0.8);
    this.y += 2;
  }

  rule(colour: string = INK.line, thick = 0.4): void {
    this.#doc
      .moveTo(PAGE.left, this.y)
      .lineTo(PAGE.left + INNER, this.y)
      .lineWidth(thick)
      .stroke(colour);
  }

  /** A table; its headings are written again on each new page. */
  table(columns: readonly Column[], rows: readonly (readonly Cell[])[], size = 8): void {
    const whole = columns.reduce((sum, column) => sum + column.wide, 0);
    const widths = columns.map((column) => (INNER * column.wide) / whole);
    const starts = widths.map(
      (_, i) => PAGE.left + widths.slice(0, i).reduce((sum, width) => sum + width, 0),
    );
    const row = (cells: readonly Cell[], style: Style): void => {
      const texts = cells.map((cell, i) =>
        this.lines(cell.text, (widths[i] ?? 0) - (cell.swatch === undefined ? GAP : GAP + size * 1.4), {
          size,
          face: cell.face ?? style.face ?? 'text',
        }),
      );
      const high = Math.max(...texts.map((lines) => lines.length)) * size * 1.3 + 3;
      if (this.room(high) && style.face !== 'strong') head();
      for (const [i, cell] of cells.entries())
        if (cell.swatch !== undefined)
          this.#doc.rect(starts[i] ?? 0, this.y + size * 0.45, size * 0.8, size * 0.8).fill(cell.swatch);
      for (const [i, lines] of texts.entries())
        for (const [j, line] of lines.entries())
          this.put(
            line,
            (starts[i] ?? 0) + (cells[i]?.swatch === undefined ? 0 : size * 1.4),
            this.y + size * 1.3 * (j + 1) - 1,
            {
              size,
              face: cells[i]?.face ?? style.face ?? 'text',
              colour: cells[i]?.colour ?? style.colour ?? INK.text,
              ...(columns[i]?.right === true ? { right: (widths[i] ?? 0) - GAP } : {}),
            },
          );
      this.y += high + 1;
      this.rule();
    };
    const head = (): void =>
      row(
        columns.map(({ title }) => ({ text: title })),
        { face: 'strong', colour: INK.soft },
      );
    this.room(size * 8);
    head();
    for (const cells of rows) row(cells, {});
  }

  /** Writes the foot of every page and ends the document. */
  async end(foot: (page: number, of: number) => readonly string[]): Promise<Buffer> {
    const { count } = this.#doc.bufferedPageRange();
    for (let i = 0; i < count; i += 1) {
      this.#doc.switchToPage(i);
      const [left = '', right = ''] = foot(i + 1, count);
      this.y = PAGE.height - PAGE.bottom + 16;
      this.rule();
      const style = { size: 7, colour: INK.soft };
      this.put(left, PAGE.left, this.y + 11, style);
      this.put(right, PAGE.left, this.y + 11, { ...style, right: INNER });
    }
    this.#doc.end();
    return this.#bytes;
  }
}
