import type { Lot, Material } from '../../../core/formula/types.ts';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import type { DecimalText } from '../../../core/quantity/decimal.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import type { Workshop } from '../store/workshop.ts';
import type { Input, Output } from '../table.ts';
import { type Column, columnsOf, headerRow, isTotal } from './columns.ts';
import { dayFirst } from './dates.ts';
import { decode } from './decode.ts';
import { fieldsOf } from './fields.ts';
import { decimalSignOf, readFigure } from './figures.ts';
import type { GivenFile } from './files.ts';
import { type FormulaList, readFormulaList } from './formula-list.ts';
import { type Grid, gridOf } from './grid.ts';
import { differencesOf, summaryOf } from './list-words.ts';
import { type ListRow, Remarks } from './reading.ts';
import type { CellReading } from './shelf-cells.ts';
import { type Brought, readShelfList, type ShelfList } from './shelf-list.ts';

export type ListAsk = Input<'bring-in.read'>;
export type ListView = Output<'bring-in.read'>;

/** What a list would bring in. */
export interface Bringing {
  readonly materials: readonly Brought<Material>[];
  readonly lots: readonly Brought<Lot>[];
  readonly formula: Brought<WrittenFormula> | null;
}

/** What the workshop has, and how its formulas are written. */
export interface Here {
  readonly workshop: Workshop;
  readonly written: (id: string) => WrittenFormula | null;
}

/** So many rows without a remark are shown. */
const SHOWN = 40;

interface Sorted {
  readonly rows: readonly number[];
  readonly leftOut: { row: number; why: string }[];
  readonly totals: readonly number[];
}

/** Rows that are read, and those that are not, each with its reason. */
function sorted({ rows }: Grid, header: number, leaveOut: readonly number[]): Sorted {
  const headings = header === 0 ? null : canonicalJson(rows[header - 1] ?? []);
  const found: Sorted & { rows: number[]; totals: number[] } = { rows: [], leftOut: [], totals: [] };
  for (const [at, cells] of rows.entries()) {
    const row = at + 1;
    const out = (why: string) => void found.leftOut.push({ row, why });
    if (row === header) continue;
    if (cells.every((cell) => cell === '')) out('blank');
    else if (row < header) out('stands above the headings');
    else if (canonicalJson(cells) === headings) out('repeats the headings');
    else if (isTotal(cells)) {
      found.totals.push(row);
      out('a total of other rows');
    } else if (leaveOut.includes(row)) out('left out by hand');
    else found.rows.push(row);
  }
  return found;
}

function listRow(row: number, cells: readonly string[], columns: readonly Column[]): ListRow {
  const of = (field: string) => columns.find((one) => one.field === field);
  return {
    row,
    at: (field) => cells[of(field)?.index ?? -1] ?? '',
    column: (field) => of(field)?.index ?? null,
    unit: (field) => of(field)?.unit ?? null,
  };
}

/** A grid with the cells that were mended by hand. */
function mended(grid: Grid, edits: NonNullable<ListAsk['edits']>): Grid {
  if (edits.length === 0) return grid;
  const rows = grid.rows.map((row) => [...row]);
  for (const { row, column, text } of edits) {
    const cells = rows[row - 1];
    if (cells !== undefined && column < cells.length) cells[column] = text.trim();
  }
  return { ...grid, rows };
}

function totalOf(rows: readonly ListRow[], how: CellReading): DecimalText | null {
  for (const row of rows) {
    const read = readFigure(row.at('amount'), how.sign);
    if (typeof read !== 'string') return read.value;
  }
  return null;
}

/** Everything of a list that was recognised. */
interface Recognised {
  readonly grid: Grid;
  readonly header: number;
  readonly columns: readonly Column[];
  readonly sorted: Sorted;
  readonly how: CellReading;
  readonly told: Pick<ListView, 'encoding' | 'delimiter' | 'sign'>;
}

function recognised(file: GivenFile, ask: ListAsk): Recognised {
  const text = decode(file.bytes, file.name, ask.encoding);
  const grid = mended(gridOf(text.text, file.name, ask.delimiter), ask.edits ?? []);
  const header = Math.min(ask.header ?? headerRow(grid.rows, ask.target), grid.rows.length);
  const columns = columnsOf(grid.rows, header, ask.target, ask.columns ?? {});
  const parts = sorted(grid, header, ask.leaveOut ?? []);
  const cells = (test: (column: Column) => boolean): string[] =>
    columns.filter(test).flatMap(({ index }) => parts.rows.map((row) => grid.rows[row - 1]?.[index] ?? ''));
  const guess = decimalSignOf(
    cells((one) => one.units.length > 0),
    grid.delimiter === 'semicolon' ? 'comma' : 'point',
  );
  const sign = ask.sign ?? guess.sign;
  const how: CellReading = {
    sign,
    order: (field) => dayFirst(cells((one) => one.field === field)),
    remarks: new Remarks(),
  };
  const told = {
    encoding: { value: text.encoding, told: text.told },
    delimiter: { value: grid.delimiter, told: grid.told },
    sign: { value: sign, told: ask.sign === undefined ? guess.told : 'as chosen' },
  };
  return { grid, header, columns, sorted: parts, how, told };
}

/** Reads the rows of what was recognised. */
function readRows(
  { grid, columns, sorted: parts, how }: Recognised,
  ask: ListAsk,
  here: Here,
): { shelf: ShelfList; formula: FormulaList | null } {
  const rowOf = (row: number) => listRow(row, grid.rows[row - 1] ?? [], columns);
  const rows = parts.rows.map(rowOf);
  for (const row of rows)
    if (grid.torn.includes(row.row))
      how.remarks.wrong(
        row,
        null,
        'A quote that is opened does not close.',
        'Mend it in the list, or leave the row out.',
      );
  if (!columns.some((one) => one.field === 'name')) {
    how.remarks.all.push({
      row: 0,
      column: null,
      what: 'No column is taken for the names.',
      next: 'Say which column it is.',
      stops: true,
    });
    return { shelf: { materials: [], lots: [], leftOut: [] }, formula: null };
  }
  const solvent = ask.solvent ?? '';
  if (ask.target === 'shelf')
    return { shelf: readShelfList(rows, here.workshop, how, solvent), formula: null };
  const total = totalOf(parts.totals.map(rowOf), how);
  const wish = { name: '', ...ask.formula, solvent };
  const formula = readFormulaList(rows, here.workshop, how, wish, total);
  return {
    shelf: {
      materials: formula.materials.map((is) => ({ row: 0, is, was: null })),
      lots: [],
      leftOut: [],
    },
    formula,
  };
}

/**
 * Reads a list beside what the workshop has; takes nothing. Pure: the same file and the same wishes give the same.
 * @throws HostTrouble when the file is no text or holds nothing
 */
export function readList(file: GivenFile, ask: ListAsk, here: Here): { view: ListView; bringing: Bringing } {
  const found = recognised(file, ask);
  const { shelf, formula } = readRows(found, ask, here);
  const written = formula?.written ?? null;
  const bringing: Bringing = {
    materials: shelf.materials,
    lots: shelf.lots,
    formula: written === null ? null : { row: 0, is: written, was: here.written(written.id) },
  };
  const remarks = found.how.remarks.all;
  const differs = differencesOf(bringing, ask.take ?? []);
  const anything =
    [...bringing.materials, ...bringing.lots, ...(bringing.formula === null ? [] : [bringing.formula])].some(
      (one) => one.was === null,
    ) || differs.some((one) => one.take);
  const { rows, leftOut } = found.sorted;
  const spoken = new Set(remarks.map((one) => one.row));
  const shown = rows.filter((row, at) => at < SHOWN || spoken.has(row)).slice(0, SHOWN * 10);
  const wrong = formula?.wrong ?? null;
  const view: ListView = {
    name: file.name,
    ...found.told,
    header: found.header,
    fields: fieldsOf(ask.target).map(({ field, says }) => ({ field, says })),
    columns: found.columns.map((one) => ({ ...one, units: [...one.units] })),
    rows: shown.map((row) => ({ row, cells: [...(found.grid.rows[row - 1] ?? [])] })),
    count: rows.length,
    hidden: rows.length - shown.length,
    remarks,
    leftOut: [...leftOut, ...shelf.leftOut].sort((a, b) => a.row - b.row),
    summary: summaryOf(bringing, formula?.sum ?? null),
    differs,
    wrong,
    ready: anything && wrong === null && !remarks.some((one) => one.stops),
  };
  return { view, bringing };
}
