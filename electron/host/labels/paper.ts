import { rulerLength } from '../../../core/record/label-sheet.ts';
import type { Document } from '../documents/document.ts';
import { fileName } from '../documents/export.ts';
import { type DrawnSheet, labelPdf } from '../documents/label-pdf.ts';
import type { Store } from '../store/store.ts';
import { HostTrouble } from '../trouble.ts';
import { type Laid, type LaidSheet, layLabels } from './lay.ts';
import { labelSettings } from './settings.ts';

function drawn({ layout, places, ruler }: LaidSheet, edges: DrawnSheet['edges']): DrawnSheet {
  return {
    page: layout.page,
    label: layout.label,
    round: layout.shape === 'round',
    edges,
    ruler,
    places: places.map(({ x, y, label }) => ({
      x,
      y,
      label: label === null ? null : { ...label.fitted, symbol: label.symbol },
    })),
  };
}

/** The edges of every place, and the line to measure across the middle where there is no room beneath. */
function testSheet(sheet: LaidSheet): DrawnSheet {
  const { page } = sheet.layout;
  const length = rulerLength(page.width);
  const ruler = sheet.ruler ?? { x: (page.width - length) / 2, y: page.height / 2, length };
  return {
    ...drawn({ ...sheet, ruler }, 'all'),
    places: sheet.places.map(({ x, y }) => ({ x, y, label: null })),
  };
}

function expectFits({ labels }: Laid): void {
  const none = labels.find(({ fitted }) => !fitted.fits);
  if (none === undefined) return;
  throw new HostTrouble(
    `The ${none.which} label of ${none.lot} does not fit: not even name, strength and lot code have room.`,
    none.which,
    'Choose larger labels, or shorten the name.',
  );
}

/** Only names that tell of what is on the sheets; a single lot by its name. */
function nameOf({ labels }: Laid, what: 'labels' | 'test-page', when: Date): string {
  const lots = new Set(labels.map(({ lot }) => lot));
  const name = lots.size === 1 ? (labels[0]?.text.name ?? '') : `${lots.size} lots`;
  const ending = what === 'labels' ? '-labels.pdf' : '-label-test-page.pdf';
  return fileName({ batch: { name, started: when.toISOString() } }, ending);
}

/**
 * Labels of lots, or a test page of their layouts, as PDF.
 * @throws HostTrouble when a lot is not there, or a label has no room for its least
 */
export async function labelDocument(
  store: Store,
  codes: readonly string[],
  what: 'labels' | 'test-page',
  when: Date,
): Promise<Document> {
  const laid = layLabels(store, codes);
  if (what === 'labels') expectFits(laid);
  const edges = laid.settings.outline ? 'labels' : 'none';
  const sheets =
    what === 'labels'
      ? laid.sheets.map((sheet) => drawn(sheet, edges))
      : laid.sheets.filter(({ no }) => no === 1).map(testSheet);
  return {
    name: nameOf(laid, what, when),
    type: 'application/pdf',
    bytes: await labelPdf(sheets, what === 'labels' ? 'Labels' : 'Test page for labels', when),
  };
}

/**
 * The labels of a batch that stands on the shelf, as PDF; null where it does not, or labels are wanted of neither bottle
 * nor lid. A kind that has no room on its labels is left out.
 */
export async function labelsOfBatch(store: Store, batch: string, when: Date): Promise<Uint8Array | null> {
  const lot = store.workshop.read().lots.find((one) => one.madeBy === batch);
  const { bottle, lid } = labelSettings(store.workshop);
  if (lot === undefined || !(bottle.on || lid.on)) return null;
  const laid = layLabels(store, [lot.code]);
  const fits = (sheet: LaidSheet): boolean =>
    sheet.places.every(({ label }) => label === null || label.fitted.fits);
  const sheets = laid.sheets.filter(fits).map((sheet) => drawn(sheet, 'labels'));
  return sheets.length === 0 ? null : labelPdf(sheets, 'Labels', when);
}
