import { labelText } from '../../../core/record/label.ts';
import { writeWhole } from '../documents/export.ts';
import { printedText } from '../documents/fonts.ts';
import type { CodeSymbol } from '../documents/symbol.ts';
import type { Rooms } from '../rooms.ts';
import type { Store } from '../store/store.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { type LaidLabel, layLabels, toldOf } from './lay.ts';
import { labelDocument } from './paper.ts';
import { readScanned } from './read-code.ts';
import { keepLabelSettings, labelSettings, layoutsFor } from './settings.ts';

/** Sheets shown at once, and lots listed at once. */
const SHOWN = 6;
const LISTED = 60;

const pathOf = ({ runs }: CodeSymbol): string =>
  runs.map(({ column, row, long }) => `M${column} ${row}h${long}v1h-${long}z`).join('');

function labelView({ lot, which, fitted, symbol }: LaidLabel): Output<'labels.preview'>['labels'][number] {
  return {
    lot,
    which,
    lines: fitted.lines.map((line) => ({ ...line, text: printedText(line.face, line.text) })),
    code: fitted.code === null ? null : { ...fitted.code, across: symbol.across, path: pathOf(symbol) },
    fits: fitted.fits,
  };
}

function preview(store: Store, lots: readonly string[]): Output<'labels.preview'> {
  const { settings, labels, sheets } = layLabels(store, lots);
  return {
    labels: labels.map(labelView),
    sheets: sheets.slice(0, SHOWN).map(({ layout, places, ...sheet }) => ({
      ...sheet,
      page: { ...layout.page },
      label: { ...layout.label },
      round: layout.shape === 'round',
      outline: settings.outline,
      places: places.map(({ label, ...place }) => ({ ...place, lot: label?.lot ?? null })),
    })),
    more: Math.max(0, sheets.length - SHOWN),
    count: sheets.reduce((sum, { places }) => sum + places.filter(({ label }) => label !== null).length, 0),
    told: labels.flatMap((label) =>
      toldOf(label).map((text) => ({ lot: label.lot, which: label.which, text })),
    ),
  };
}

function lotsBy(store: Store, given: string): Output<'labels.lots'> {
  const words = given
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  const { lots, materials } = store.workshop.read();
  const found = lots.filter(({ code, name }) => {
    const text = `${code} ${name}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
  return {
    lots: found.slice(0, LISTED).map((lot) => ({
      code: lot.code,
      name: lot.name,
      strength: labelText({ lot, materials, maker: '' }).short,
    })),
    more: Math.max(0, found.length - LISTED),
  };
}

/** Answers the calls about labels and the codes on them. */
export function labelHandlers({ store, capabilities }: Rooms) {
  const settings = (): Output<'labels.settings'> => {
    const kept = labelSettings(store.workshop);
    return { settings: kept, layouts: layoutsFor(kept) };
  };
  const document = ({ lots, what = 'labels' }: Input<'labels.document'>) =>
    labelDocument(store, lots, what, new Date());
  return {
    'labels.settings': settings,
    'labels.keep': (given: Input<'labels.keep'>) => {
      keepLabelSettings(store.workshop, given);
      return settings();
    },
    'labels.lots': ({ words }: Input<'labels.lots'>) => lotsBy(store, words),
    'labels.preview': ({ lots }: Input<'labels.preview'>) => preview(store, lots),
    'labels.document': async (ask: Input<'labels.document'>) => {
      const { name, type, bytes } = await document(ask);
      return { name, type, base64: Buffer.from(bytes).toString('base64') };
    },
    'labels.document-save': async (ask: Input<'labels.document-save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble('This window has no file dialog.', 'labels', 'Let the browser save the file.');
      const { name, bytes } = await document(ask);
      const path = await capabilities.saveDialog(name);
      if (path !== null) writeWhole(path, bytes);
      return { path };
    },
    'labels.print': async (ask: Input<'labels.print'>) => {
      if (capabilities.showPdf === undefined)
        throw new HostTrouble('This window cannot print.', 'labels', 'Save the PDF and print it from there.');
      return capabilities.showPdf(await document(ask));
    },
    'codes.read': ({ text }: Input<'codes.read'>) => readScanned(store, text),
  };
}
