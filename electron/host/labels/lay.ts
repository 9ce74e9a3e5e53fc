import type { Lot } from '../../../core/formula/types.ts';
import { type LabelText, labelText } from '../../../core/record/label.ts';
import { type FittedLabel, fitBottle, type Measure } from '../../../core/record/label-fit.ts';
import {
  type LabelLayout,
  perPage,
  placesFor,
  rulerAt,
  rulerLength,
} from '../../../core/record/label-sheet.ts';
import { fitLid } from '../../../core/record/lid-fit.ts';
import { unshownIn, widthOf } from '../documents/fonts.ts';
import type { DrawnSheet } from '../documents/label-pdf.ts';
import { type CodeSymbol, symbolOf } from '../documents/symbol.ts';
import { recordOf } from '../record-view.ts';
import type { Store } from '../store/store.ts';
import { HostTrouble } from '../trouble.ts';
import { chosenLayouts, type LabelSettings, labelSettings } from './settings.ts';

export type Which = 'bottle' | 'lid';

/** One label of one lot, laid out. */
export interface LaidLabel {
  readonly lot: string;
  readonly which: Which;
  readonly text: LabelText;
  readonly fitted: FittedLabel;
  readonly symbol: CodeSymbol;
}

/** A page of labels: at each of its places the label that is printed there, or null. */
export interface LaidSheet {
  readonly which: Which;
  readonly no: number;
  readonly of: number;
  readonly layout: LabelLayout;
  readonly ruler: DrawnSheet['ruler'];
  readonly places: readonly {
    readonly n: number;
    readonly x: number;
    readonly y: number;
    readonly label: LaidLabel | null;
  }[];
}

export interface Laid {
  readonly settings: LabelSettings;
  readonly labels: readonly LaidLabel[];
  readonly sheets: readonly LaidSheet[];
}

const MM = 25.4 / 72;

/** Widths go with the size: each text is measured once, however many sizes are tried. */
function measurer(): Measure {
  const ofOnePoint = new Map<string, number>();
  return (text, face, size) => {
    const key = `${face} ${text}`;
    const width = ofOnePoint.get(key) ?? widthOf(face, text, 1) * MM;
    ofOnePoint.set(key, width);
    return width * size;
  };
}

function madeOf({ journal }: Store, lot: Lot): { on: string; strengthU: string } | null {
  if (lot.madeBy === undefined || journal.events(lot.madeBy).length === 0) return null;
  const { batch, asMade } = recordOf(journal, lot.madeBy);
  return { on: (batch.ended ?? batch.started).slice(0, 10), strengthU: asMade.strengthU };
}

function textsOf(store: Store, codes: readonly string[], maker: string): LabelText[] {
  const { lots, materials } = store.workshop.read();
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  return codes.map((code) => {
    const lot = byCode.get(code);
    if (lot === undefined)
      throw new HostTrouble(`There is no lot "${code}".`, 'lot', 'Choose one from the Organ.');
    const made = madeOf(store, lot);
    return labelText({ lot, materials, maker, ...(made === null ? {} : { made }) });
  });
}

function laidLabel(
  text: LabelText,
  which: Which,
  { label }: LabelLayout,
  symbol: CodeSymbol,
  measure: Measure,
): LaidLabel {
  const ground = { ...label, modules: symbol.across };
  const fitted = which === 'lid' ? fitLid(text, ground, measure) : fitBottle(text, ground, measure);
  return { lot: text.code, which, text, fitted, symbol };
}

/** The line to measure by, centred under the labels, where there is room. */
function rulerOn(layout: LabelLayout): DrawnSheet['ruler'] {
  const y = rulerAt(layout);
  const length = rulerLength(layout.page.width);
  return y === null ? null : { x: (layout.page.width - length) / 2, y, length };
}

function sheetsOf(
  which: Which,
  layout: LabelLayout,
  start: number,
  labels: readonly LaidLabel[],
): LaidSheet[] {
  const whole = perPage(layout);
  const of = Math.ceil((start - 1 + labels.length) / whole);
  return Array.from({ length: of }, (_, page) => ({
    which,
    no: page + 1,
    of,
    layout,
    ruler: rulerOn(layout),
    places: placesFor(layout, 1, whole).map(({ x, y }, i) => ({
      n: i + 1,
      x,
      y,
      label: labels[page * whole + i - (start - 1)] ?? null,
    })),
  }));
}

/**
 * The labels of lots as they will be printed by the settings kept: those of the bottles, then those of the lids.
 * @throws HostTrouble when a lot is not there, or neither kind of label is wanted
 */
export function layLabels(store: Store, codes: readonly string[]): Laid {
  const settings = labelSettings(store.workshop);
  const layouts = chosenLayouts(settings);
  const texts = textsOf(store, [...new Set(codes)], settings.maker);
  const symbols = texts.map(({ code }) => symbolOf(settings.code, code));
  const wanted = (['bottle', 'lid'] as const).filter((which) => settings[which].on);
  if (wanted.length === 0)
    throw new HostTrouble('Neither bottle nor lid is wanted.', 'labels', 'Tick one of the two.');
  const measure = measurer();
  const labels: LaidLabel[] = [];
  const sheets = wanted.flatMap((which) => {
    const made = texts.flatMap((text, i) => {
      const symbol = symbols[i];
      return symbol === undefined ? [] : [laidLabel(text, which, layouts[which], symbol, measure)];
    });
    labels.push(...made);
    const { copies, start } = settings[which];
    const all = made.flatMap((label) => Array.from({ length: copies }, () => label));
    return sheetsOf(which, layouts[which], start, all);
  });
  return { settings, labels, sheets };
}

/** What is said of a label before it is printed: what has no room, and what no font or scanner has. */
export function toldOf({ fitted, text, which }: LaidLabel): string[] {
  if (!fitted.fits) return ['Nothing of it fits: it cannot be printed on a label of this size.'];
  const unshown = unshownIn([text.name, text.maker ?? '', text.kind ?? ''].join(''));
  const odd = which === 'bottle' && /[^\x20-\x7e]/.test(text.code);
  return [
    ...fitted.left.map((one) => `${one.charAt(0).toUpperCase()}${one.slice(1)}.`),
    ...(unshown.length === 0
      ? []
      : [
          `No font that this program carries has ${unshown.join(' ')}: each is printed as its code point, such as ${pointOf(unshown[0] ?? '')}.`,
        ]),
    ...(odd
      ? ['The lot code has letters that many scanners do not send: plain letters and digits are.']
      : []),
  ];
}

const pointOf = (letter: string): string =>
  `[U+${(letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`;
