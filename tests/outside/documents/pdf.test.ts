import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildRecord } from '../../../core/record/record.ts';
import { pourTraces } from '../../../electron/host/batch-traces.ts';
import { codeText } from '../../../electron/host/documents/code-text.ts';
import { recordPdf } from '../../../electron/host/documents/record-pdf.ts';
import { sheetPdf } from '../../../electron/host/documents/sheet-pdf.ts';
import { recordOf } from '../../../electron/host/record-view.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { wideRecord } from '../../unit/documents/given.ts';
import { stored, wholeBatch } from '../../unit/record/batch.ts';
import { addDisturbed } from '../../unit/store/disturbed.ts';
import { testFolder } from '../../unit/store/given.ts';

/**
 * What readers of other houses find in the documents: PDF.js (from npm, always), and where the machine has them
 * pdftotext, pdffonts and pdftoppm (Poppler) and zbarimg (ZBar).
 */
let folder = '';
let record: Buffer = Buffer.alloc(0);
let sheet: Buffer = Buffer.alloc(0);
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-pdf-'));
  record = await recordPdf(wideRecord);
  sheet = await sheetPdf(wideRecord);
  writeFileSync(join(folder, 'record.pdf'), record);
  writeFileSync(join(folder, 'sheet.pdf'), sheet);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const squeezed = (text: string): string => text.normalize('NFKC').replace(/\s+/g, '');

async function pagesOf(bytes: Buffer): Promise<string[]> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const pdf = await task.promise;
  const pages: string[] = [];
  for (let i = 1; i <= pdf.numPages; i += 1) {
    const content = await (await pdf.getPage(i)).getTextContent();
    pages.push(content.items.map((item) => ('str' in item ? item.str : '')).join(' '));
  }
  await task.destroy();
  return pages;
}

/** Runs a tool in the folder; null, with the reason printed, where the machine has none. */
function tool(name: string, ...args: readonly string[]): string | null {
  const { error, status, stdout, stderr } = spawnSync(name, args, { cwd: folder, encoding: 'utf8' });
  if (error !== undefined) {
    console.log(`not read with ${name}: ${error.message}`);
    return null;
  }
  if (status !== 0) throw new Error(`${name}: ${stderr}`);
  return stdout;
}

/** Every figure and name that a record's document must say. */
function wanted(): string[] {
  const { batch, asMade, head } = wideRecord;
  return [
    batch.name,
    batch.operator,
    batch.balance.name,
    `${asMade.total} g`,
    '−0.01 g',
    '10.960 %',
    ...asMade.lines.flatMap((line) => [line.title, line.lot, line.target, line.poured]),
    ...asMade.composition.map((one) => one.name),
    ...asMade.composition.map((one) => (Number(one.fraction) * 100).toFixed(3)),
    ...asMade.lots.map((one) => one.name),
    'Pour 2 voided: vessel touched',
    'Amended by 山田 花子, because имя: The lid says "Été".',
    `Last hash ${head.hash}`,
  ];
}

describe('the PDF of a record', () => {
  it('says to PDF.js everything that the record says, on every page its hash and number', async () => {
    const pages = await pagesOf(record);
    const all = squeezed(pages.join(' '));
    for (const text of wanted()) expect(all).toContain(squeezed(text));
    for (const [i, page] of pages.entries()) {
      expect(page).toContain(`page ${i + 1} of ${pages.length}`);
      expect(page).toContain(wideRecord.head.hash);
    }
    expect(pages.length).toBeLessThanOrEqual(2);
  });

  it('says the same to pdftotext', (context) => {
    const text = tool('pdftotext', '-layout', 'record.pdf', '-');
    if (text === null) context.skip();
    const all = squeezed(text ?? '');
    for (const one of wanted()) expect(all).toContain(squeezed(one));
  });

  it('brings its fonts along, every one of them', (context) => {
    const fonts = tool('pdffonts', 'record.pdf');
    if (fonts === null) context.skip();
    const rows = (fonts ?? '').trim().split('\n').slice(2);
    expect(rows.length).toBeGreaterThan(4);
    for (const row of rows) expect(row).toMatch(/ yes yes yes /);
  });

  it.for(['record', 'sheet'])('carries a code that a scanner reads: %s', (name, context) => {
    const drawn = tool('pdftoppm', '-r', '150', '-png', '-singlefile', `${name}.pdf`, name);
    if (drawn === null) context.skip();
    const read = tool('zbarimg', '--quiet', '--raw', `${name}.png`);
    if (read === null) context.skip();
    expect(read?.trim()).toBe(codeText({ batch: wideRecord.batch.id, hash: wideRecord.head.hash }));
  });

  it('says of a batch into which nothing was poured just that, and that it is not finished', async () => {
    const begun = buildRecord(stored(wholeBatch.slice(0, 2)));
    const all = squeezed((await pagesOf(await recordPdf(begun))).join(' '));
    for (const one of [
      'interrupted: not a finished batch',
      '– nothing was poured',
      'None: nothing was poured.',
    ])
      expect(all).toContain(squeezed(one));
    expect(all).not.toContain('0.000%');
  });

  it('is the same bytes for the same record', async () => {
    expect((await recordPdf(wideRecord)).equals(record)).toBe(true);
  });

  it('goes on over the pages with its headings, however many lines there are', async () => {
    const long = structuredClone(wideRecord);
    const [first] = long.asMade.lines;
    if (first === undefined) throw new Error('no line');
    long.asMade.lines = Array.from({ length: 120 }, (_, i) => ({
      ...first,
      line: `l${i}`,
      title: `Line number ${i}`,
    }));
    const pages = await pagesOf(await recordPdf(long));
    expect(pages.length).toBeGreaterThan(2);
    const all = squeezed(pages.join(' '));
    for (let i = 0; i < 120; i += 1) expect(all).toContain(`Linenumber${i}R10`);
    expect(pages.slice(0, 2).every((page) => page.includes('Target, g'))).toBe(true);
  });

  it('writes a letter that no carried font has as its code point, and says so', async () => {
    const odd = structuredClone(wideRecord);
    odd.batch.operator = 'שרה';
    for (const pdf of [await recordPdf(odd), await sheetPdf(odd)]) {
      const all = squeezed((await pagesOf(pdf)).join(' '));
      expect(all).toContain('[U+05E9][U+05E8][U+05D4]');
      expect(all).toContain(
        squeezed(
          '3 letters are in no font that this program carries and stand here as code points, such as [U+05E9].',
        ),
      );
    }
    expect(squeezed((await pagesOf(record)).join(' '))).not.toContain('innofont');
  });
});

describe('the charts of a record', () => {
  /** Title, span of masses and time of each, as they stand beneath and above the charts. */
  const CAPTIONS = [
    ['1 · rose line', '0.00 to 58.10 g gross', '16 s'],
    ['2 · cedar line', '0.79 to 4.79 g gross', '2 s'],
    ['3 · ethanol, a name that goes on', '4.79 to 18.79 g gross', '2 s'],
  ] as const;
  let charted: Buffer = Buffer.alloc(0);
  beforeAll(async () => {
    const place = testFolder();
    const store = openStore(place.path);
    addDisturbed(store);
    const made = structuredClone(recordOf(store.journal, 'uneasy'));
    for (const line of made.asMade.lines)
      if (line.line === 'ethanol')
        line.title = 'ethanol, a name that goes on and on beyond the width of any chart';
    charted = await recordPdf(made, pourTraces(store.journal, 'uneasy'));
    writeFileSync(join(folder, 'charted.pdf'), charted);
    store.close();
    place.remove();
  });

  const expectCaptions = (text: string): void => {
    const all = squeezed(text);
    expect(all).toContain(squeezed('What the balance showed'));
    for (const caption of CAPTIONS) for (const one of caption) expect(all).toContain(squeezed(one));
    expect(all).toMatch(/3·ethanol,anamethatgoeson[a-z]*(?:\.\.\.|…)/);
    for (const one of ['Vessel lifted off the pan', 'Balance lost: its port closed', 'Display re-zeroed'])
      expect(all).toContain(squeezed(one));
  };

  it('are named and measured to PDF.js, every name in its width', async () => {
    expectCaptions((await pagesOf(charted)).join(' '));
  });

  it('say the same to pdftotext', (context) => {
    const text = tool('pdftotext', '-layout', 'charted.pdf', '-');
    if (text === null) context.skip();
    expectCaptions(text ?? '');
  });
});

describe('the batch sheet', () => {
  it('says name, lots and masses in the order they were poured, and fits one page', async () => {
    const pages = await pagesOf(sheet);
    expect(pages).toHaveLength(1);
    const all = squeezed(pages.join(' '));
    for (const line of wideRecord.asMade.lines)
      expect(all).toContain(squeezed(`${line.title} ${line.lot} ${line.target} ${line.poured}`));
    expect(all).toContain(squeezed(wideRecord.batch.name));
    expect(all).toContain(wideRecord.head.hash);
  });
});
