import { createCanvas } from '@napi-rs/canvas';
import {
  BarcodeFormat,
  BinaryBitmap,
  DecodeHintType,
  HybridBinarizer,
  MultiFormatReader,
  RGBLuminanceSource,
} from '@zxing/library';
import { strFromU8, unzipSync } from 'fflate';
import readQr from 'jsqr';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { checkFolder } from '../../../electron/host/documents/check.ts';
import { documentOf } from '../../../electron/host/documents/document.ts';
import { printedText } from '../../../electron/host/documents/fonts.ts';
import { bytesHash } from '../../../electron/host/documents/manifest.ts';
import { layLabels, toldOf } from '../../../electron/host/labels/lay.ts';
import { labelDocument, labelsOfBatch } from '../../../electron/host/labels/paper.ts';
import { keepLabelSettings, labelSettings } from '../../../electron/host/labels/settings.ts';
import { recordOf } from '../../../electron/host/record-view.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { fillStore, testFolder } from '../../unit/store/given.ts';

/**
 * Labels drawn by a reader of another house (PDF.js) and their codes read by decoders of two others: ZXing for Data
 * Matrix, jsQR for QR. What is drawn at 300 dots an inch is what an office printer prints.
 */
const DPI = 300;
const LONG =
  'Tincture of hand-picked osmanthus blossoms from the third terrace, second pressing, aged in the cool cellar';
const NAMES = [
  '薔薇と白檀の香水、春の庭',
  'Сирень и чёрная смородина',
  'Ελιά και δεντρολίβανο',
  'Hoa hồng Đà Lạt',
  LONG,
];
const WHEN = new Date('2026-11-25T10:00:00Z');

let folder = testFolder();
let store: Store;
let codes: string[] = [];
beforeAll(() => {
  folder = testFolder();
  store = openStore(folder.path);
  const demo = demoWorkshop();
  store.workshop.add(demo);
  const made = NAMES.map((name, i) => ({
    code: `NX-${i}`,
    name,
    composition: { geranium: '0.1', ethanol: '0.9' },
    bestBefore: '2028-01-31',
  }));
  store.workshop.add({ materials: [], formulas: [], lots: made });
  codes = ['VE-06-10', 'LA-33', ...made.map(({ code }) => code)];
});
afterAll(() => {
  store.close();
  folder.remove();
});

interface Drawn {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;
  readonly text: string;
}

async function pagesOf(bytes: Uint8Array): Promise<Drawn[]> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const pdf = await task.promise;
  const pages: Drawn[] = [];
  for (let i = 1; i <= pdf.numPages; i += 1) {
    const page = await pdf.getPage(i);
    const viewport = page.getViewport({ scale: DPI / 72 });
    const [width, height] = [Math.round(viewport.width), Math.round(viewport.height)];
    const canvas = createCanvas(width, height);
    const context = canvas.getContext('2d');
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, width, height);
    await page.render({ canvas: canvas as never, canvasContext: context as never, viewport }).promise;
    const content = await page.getTextContent();
    const text = content.items.map((item) => ('str' in item ? item.str : '')).join(' ');
    pages.push({ width, height, data: context.getImageData(0, 0, width, height).data, text });
  }
  await task.destroy();
  return pages;
}

/** A part of a page, in mm, in dots. */
function cutOut({ width, data }: Drawn, x: number, y: number, wide: number, high: number) {
  const dots = (mm: number) => Math.round((mm / 25.4) * DPI);
  const [left, top, w, h] = [dots(x), dots(y), dots(wide), dots(high)];
  const rgba = new Uint8ClampedArray(w * h * 4);
  for (let row = 0; row < h; row += 1)
    rgba.set(
      data.subarray(((top + row) * width + left) * 4, ((top + row) * width + left + w) * 4),
      row * w * 4,
    );
  return { rgba, w, h };
}

function decoded(kind: 'qr' | 'data-matrix', page: Drawn, x: number, y: number, side: number): string | null {
  const { rgba, w, h } = cutOut(page, x - 0.5, y - 0.5, side + 1, side + 1);
  if (kind === 'qr') return readQr(rgba, w, h)?.data ?? null;
  const grey = new Uint8ClampedArray(w * h);
  for (let i = 0; i < grey.length; i += 1) grey[i] = rgba[i * 4] ?? 0;
  const hints = new Map<DecodeHintType, unknown>([
    [DecodeHintType.POSSIBLE_FORMATS, [BarcodeFormat.DATA_MATRIX]],
    [DecodeHintType.TRY_HARDER, true],
  ]);
  const reader = new MultiFormatReader();
  reader.setHints(hints);
  return reader.decode(new BinaryBitmap(new HybridBinarizer(new RGBLuminanceSource(grey, w, h)))).getText();
}

const set = (part: { code: 'qr' | 'data-matrix'; layout: string; diameter: number; lid?: string }) => {
  const kept = labelSettings(store.workshop);
  keepLabelSettings(store.workshop, {
    ...kept,
    maker: 'Lindenhof workshop',
    code: part.code,
    bottle: { ...kept.bottle, layout: part.layout, start: 1 },
    lid: { ...kept.lid, layout: part.lid ?? 'cut-a4', diameter: part.diameter, start: 1 },
  });
};

/** Reads every code of laid labels off the pages they are on. @returns how many there were */
function readAll(
  code: 'qr' | 'data-matrix',
  sheets: ReturnType<typeof layLabels>['sheets'],
  pages: readonly Drawn[],
): number {
  let read = 0;
  for (const [i, sheet] of sheets.entries())
    for (const { x, y, label } of sheet.places) {
      const page = pages[i];
      if (label === null || label.fitted.code === null || page === undefined) continue;
      const { code: at } = label.fitted;
      expect(decoded(code, page, x + at.x, y + at.y, at.side)).toBe(label.lot);
      read += 1;
    }
  return read;
}

describe('labels as an office printer prints them', () => {
  it.each([
    ['data-matrix', 'a4-3x8', 18],
    ['qr', 'roll-57x32', 25],
  ] as const)(
    'carry a code that another house reads: %s on %s, lids of %i mm',
    async (code, layout, diameter) => {
      set({ code, layout, diameter });
      const laid = layLabels(store, codes);
      const pages = await pagesOf((await labelDocument(store, codes, 'labels', WHEN)).bytes);
      expect(pages).toHaveLength(laid.sheets.length);
      const read = readAll(code, laid.sheets, pages);
      const withCode = laid.labels.filter(({ fitted }) => fitted.code !== null).length;
      expect(read).toBe(withCode);
      expect(laid.labels.filter(({ which, fitted }) => which === 'bottle' && fitted.code === null)).toEqual(
        [],
      );
      expect(read).toBeGreaterThanOrEqual(codes.length);
    },
  );

  it('say every word that they were laid out with, in the letters of every alphabet carried', async () => {
    set({ code: 'data-matrix', layout: 'a4-3x8', diameter: 18 });
    const [bottles] = await pagesOf((await labelDocument(store, codes, 'labels', WHEN)).bytes);
    const squeezed = (text: string) => text.normalize('NFKC').replace(/\s+/g, '');
    const all = squeezed(bottles?.text ?? '');
    for (const name of NAMES) expect(all).toContain(squeezed(name));
    for (const one of ['10.02 % ± 0.02 % by mass in ethanol 96 % vol', 'lot LA-33', 'Lindenhof workshop'])
      expect(all).toContain(squeezed(one));
    expect(all).not.toContain('[U+');
  });

  it('say before they are printed what has no room and what no font has', () => {
    set({ code: 'data-matrix', layout: 'a4-3x8', diameter: 14 });
    store.workshop.add({
      materials: [],
      formulas: [],
      lots: [{ code: 'HE-1', name: 'שושנה', composition: { geranium: '1' } }],
    });
    const told = layLabels(store, [...codes, 'HE-1']).labels.flatMap((label) =>
      toldOf(label).map((text) => `${label.lot} ${label.which}: ${text}`),
    );
    expect(told.some((one) => /^NX-4 lid: The name is shortened to “Tincture.*…”\.$/.test(one))).toBe(true);
    expect(told).toContain(
      'HE-1 bottle: No font that this program carries has ש ו נ ה: each is printed as its code point, such as [U+05E9].',
    );
    expect(told.filter((one) => one.startsWith('LA-33 bottle'))).toEqual([]);
    expect(printedText('title', 'אב C')).toBe('[U+05D0][U+05D1] C');
  });

  it('are the same bytes for the same labels, and refused whole where one has no room', async () => {
    set({ code: 'data-matrix', layout: 'a4-3x8', diameter: 18 });
    const once = await labelDocument(store, codes, 'labels', WHEN);
    const again = await labelDocument(store, codes, 'labels', WHEN);
    expect(Buffer.from(once.bytes).equals(Buffer.from(again.bytes))).toBe(true);
    store.workshop.add({
      materials: [],
      formulas: [],
      lots: [{ code: 'A-CODE-LONGER-THAN-A-LID', name: 'x', composition: { geranium: '1' } }],
    });
    await expect(labelDocument(store, ['A-CODE-LONGER-THAN-A-LID'], 'labels', WHEN)).rejects.toThrow(
      'The lid label of A-CODE-LONGER-THAN-A-LID does not fit',
    );
  });
});

describe('the folder of a batch that stands on the shelf', () => {
  it('holds its labels, told in the manifest, with codes that open its lot', async () => {
    const place = testFolder();
    const own = openStore(place.path);
    fillStore(own);
    const folderOf = (): Promise<{ readonly bytes: Uint8Array }> =>
      documentOf(recordOf(own.journal, 'whole'), own.journal, 'folder', 'point', () =>
        labelsOfBatch(own, 'whole', WHEN),
      );
    expect(Object.keys(unzipSync((await folderOf()).bytes))).not.toContain('labels.pdf');
    own.workshop.putLot({
      code: 'RC-261125',
      name: 'Rose and cedar',
      composition: { rose: '0.01', cedar: '0.1', ethanol: '0.89' },
      madeBy: 'whole',
    });
    const { bytes } = await folderOf();
    expect(checkFolder(bytes)).toMatchObject({ ok: true, problems: [] });
    const { 'labels.pdf': labels = new Uint8Array(), 'manifest.json': told = new Uint8Array() } =
      unzipSync(bytes);
    expect(JSON.parse(strFromU8(told)).files).toContainEqual({
      name: 'labels.pdf',
      bytes: labels.length,
      sha256: bytesHash(labels),
    });
    const laid = layLabels(own, ['RC-261125']);
    const pages = await pagesOf(labels);
    expect(pages).toHaveLength(laid.sheets.length);
    expect(pages[0]?.text).toContain('RC-261125');
    expect(readAll(laid.settings.code, laid.sheets, pages)).toBeGreaterThan(0);
    own.close();
    place.remove();
  });
});
