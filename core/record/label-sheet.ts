/** How labels lie on their paper. Lengths in mm. A roll's page is one label. */
export interface LabelLayout {
  readonly id: string;
  readonly name: string;
  readonly shape: 'rectangle' | 'round';
  readonly page: { readonly width: number; readonly height: number };
  /** Of a round label both are its diameter. */
  readonly label: { readonly width: number; readonly height: number };
  readonly rows: number;
  readonly columns: number;
  /** Margin above the first row and left of the first column. */
  readonly top: number;
  readonly left: number;
  readonly gapX: number;
  readonly gapY: number;
}

/** One place for a label: which page, from 0, and its upper left corner in mm. */
export interface LabelPlace {
  readonly page: number;
  readonly x: number;
  readonly y: number;
}

/** Rounding of lengths given in inches. */
const SLACK = 0.11;

const A4 = { width: 210, height: 297 } as const;
const LETTER = { width: 215.9, height: 279.4 } as const;
const PAGES = { a4: A4, letter: LETTER } as const;
export type PaperName = keyof typeof PAGES;

/** Smallest and largest diameter of a lid's label, mm. */
export const LID_LEAST = 12;
export const LID_MOST = 25;

/**
 * Layouts to begin with. The sheets are sizes usual in the trade, from memory: a test page tells whether they are those
 * of the sheet at hand.
 */
export const LAYOUTS: readonly LabelLayout[] = [
  {
    id: 'a4-3x8',
    name: 'A4 sheet, 3 × 8 labels of 70 × 36 mm',
    shape: 'rectangle',
    page: A4,
    label: { width: 70, height: 36 },
    rows: 8,
    columns: 3,
    top: 4.5,
    left: 0,
    gapX: 0,
    gapY: 0,
  },
  {
    id: 'a4-3x7',
    name: 'A4 sheet, 3 × 7 labels of 63.5 × 38.1 mm',
    shape: 'rectangle',
    page: A4,
    label: { width: 63.5, height: 38.1 },
    rows: 7,
    columns: 3,
    top: 15.1,
    left: 7.2,
    gapX: 2.5,
    gapY: 0,
  },
  {
    id: 'letter-3x10',
    name: 'Letter sheet, 3 × 10 labels of 66.7 × 25.4 mm',
    shape: 'rectangle',
    page: LETTER,
    label: { width: 66.7, height: 25.4 },
    rows: 10,
    columns: 3,
    top: 12.7,
    left: 4.8,
    gapX: 3.1,
    gapY: 0,
  },
  {
    id: 'letter-2x5',
    name: 'Letter sheet, 2 × 5 labels of 101.6 × 50.8 mm',
    shape: 'rectangle',
    page: LETTER,
    label: { width: 101.6, height: 50.8 },
    rows: 5,
    columns: 2,
    top: 12.7,
    left: 4.8,
    gapX: 3.1,
    gapY: 0,
  },
  roll('roll-57x32', 57, 32),
  roll('roll-50x30', 50, 30),
];

function roll(id: string, width: number, height: number): LabelLayout {
  return {
    id,
    name: `Roll, labels of ${width} × ${height} mm`,
    shape: 'rectangle',
    page: { width, height },
    label: { width, height },
    rows: 1,
    columns: 1,
    top: 0,
    left: 0,
    gapX: 0,
    gapY: 0,
  };
}

/** As many rounds as a page takes with room for scissors between them and a hand's breadth of margin. */
function cut(paper: PaperName, diameter: number): LabelLayout {
  const page = PAGES[paper];
  const gap = 3;
  const margin = 12;
  const most = (length: number): number => Math.floor((length - 2 * margin + gap) / (diameter + gap));
  const columns = most(page.width);
  const rows = most(page.height);
  const start = (length: number, count: number): number =>
    Math.round(((length - count * diameter - (count - 1) * gap) / 2) * 10) / 10;
  return {
    id: `cut-${paper}`,
    name: `${paper === 'a4' ? 'A4' : 'Letter'} paper to cut, rounds of ${diameter} mm`,
    shape: 'round',
    page,
    label: { width: diameter, height: diameter },
    rows,
    columns,
    top: start(page.height, rows),
    left: start(page.width, columns),
    gapX: gap,
    gapY: gap,
  };
}

/**
 * Layouts of lid labels of one diameter: on A4 or Letter to be cut out, and single on a roll.
 * @param diameter mm
 */
export const lidLayouts = (diameter: number): LabelLayout[] => [
  cut('a4', diameter),
  cut('letter', diameter),
  {
    ...roll('roll-lid', diameter, diameter),
    name: `Roll, rounds of ${diameter} mm`,
    shape: 'round',
  },
];

/** How many labels one page holds. */
export const perPage = ({ rows, columns }: LabelLayout): number => rows * columns;

/** What is wrong with a layout: the field, and why it cannot be. */
export interface LayoutFault {
  readonly field: 'page' | 'label' | 'rows' | 'columns' | 'top' | 'left' | 'gap';
  readonly what: string;
}

const over = (need: number, have: number): string => `${need.toFixed(1)} mm are needed, ${have} mm are there`;

/** The first thing that is wrong with a layout; null when labels can be laid by it. */
export function layoutFault(layout: LabelLayout): LayoutFault | null {
  const { page, label, rows, columns, top, left, gapX, gapY, shape } = layout;
  const within = (value: number, least: number, most: number): boolean => value >= least && value <= most;
  if (!within(page.width, 10, 500) || !within(page.height, 10, 500))
    return { field: 'page', what: 'A page is 10 to 500 mm wide and high.' };
  if (!within(label.width, 10, 300) || !within(label.height, 10, 300))
    return { field: 'label', what: 'A label is 10 to 300 mm wide and high.' };
  if (shape === 'round' && label.width !== label.height)
    return { field: 'label', what: 'A round label is as high as it is wide.' };
  if (!Number.isInteger(rows) || !within(rows, 1, 60))
    return { field: 'rows', what: 'There are 1 to 60 rows.' };
  if (!Number.isInteger(columns) || !within(columns, 1, 60))
    return { field: 'columns', what: 'There are 1 to 60 columns.' };
  if (!(top >= 0)) return { field: 'top', what: 'A margin is not below zero.' };
  if (!(left >= 0)) return { field: 'left', what: 'A margin is not below zero.' };
  if (!(gapX >= 0) || !(gapY >= 0)) return { field: 'gap', what: 'A gap is not below zero.' };
  const across = left + columns * label.width + (columns - 1) * gapX;
  if (across > page.width + SLACK)
    return { field: 'columns', what: `The columns do not fit the page: ${over(across, page.width)}.` };
  const down = top + rows * label.height + (rows - 1) * gapY;
  if (down > page.height + SLACK)
    return { field: 'rows', what: `The rows do not fit the page: ${over(down, page.height)}.` };
  return null;
}

/**
 * Places for `count` labels, row by row, from place `start` of the first page (from 1), so that a sheet that was begun
 * is used up.
 */
export function placesFor(layout: LabelLayout, start: number, count: number): LabelPlace[] {
  const whole = perPage(layout);
  return Array.from({ length: count }, (_, i) => {
    const at = start - 1 + i;
    const on = at % whole;
    const row = Math.floor(on / layout.columns);
    const column = on % layout.columns;
    return {
      page: Math.floor(at / whole),
      x: layout.left + column * (layout.label.width + layout.gapX),
      y: layout.top + row * (layout.label.height + layout.gapY),
    };
  });
}

/** Length of the line that the printer's scaling is checked by, mm, on a page `width` wide. */
export const rulerLength = (width: number): number => (width >= 130 ? 100 : width >= 70 ? 50 : 10);

/** Where that line goes beneath the labels: y in mm, null where they leave no room for it. */
export function rulerAt(layout: LabelLayout): number | null {
  const { page, label, rows, gapY, top } = layout;
  const end = top + rows * label.height + (rows - 1) * gapY;
  return page.height - end >= 9 ? end + (page.height - end) / 2 : null;
}
