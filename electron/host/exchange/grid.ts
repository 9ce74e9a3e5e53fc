import Papa from 'papaparse';
import { HostTrouble } from '../trouble.ts';

export const DELIMITERS = ['tab', 'semicolon', 'comma', 'bar', 'none'] as const;
export type Delimiter = (typeof DELIMITERS)[number];

const SIGN: Readonly<Record<Delimiter, string>> = {
  tab: '\t',
  semicolon: ';',
  comma: ',',
  bar: '|',
  /* Unit separator: no list has it. */
  none: '\u001f',
};
const SAYS: Readonly<Record<Delimiter, string>> = {
  tab: 'tabs',
  semicolon: 'semicolons',
  comma: 'commas',
  bar: 'upright bars',
  none: 'nothing: one column',
};

const ROWS_LIMIT = 20_000;
const COLUMNS_LIMIT = 200;

/** Rows and cells of a list; row 1 is the first. Every row has as many cells. */
export interface Grid {
  readonly rows: readonly (readonly string[])[];
  readonly delimiter: Delimiter;
  readonly told: string;
  /** Rows whose quotes do not close. */
  readonly torn: readonly number[];
}

/** A cell without blanks around it, letters composed, and without the apostrophe that defuses a formula. */
const clean = (cell: string): string =>
  cell
    .normalize('NFC')
    .replace(/[\u200b\ufeff]/g, '')
    .replace(/^[\s\u00a0]+|[\s\u00a0]+$/g, '')
    .replace(/^'(?=[=+@\t\r-])/, '');

function parsed(text: string, delimiter: Delimiter): { rows: string[][]; torn: number[] } {
  const { data, errors } = Papa.parse<string[]>(text, { delimiter: SIGN[delimiter], skipEmptyLines: false });
  const rows = data.map((row) => row.map(clean));
  while (rows.at(-1)?.every((cell) => cell === '')) rows.pop();
  return { rows, torn: errors.filter((one) => one.type === 'Quotes').map((one) => (one.row ?? 0) + 1) };
}

/** How well a delimiter parts the first rows: how many of them have the commonest count of cells, when it is above one. */
function alike(text: string, delimiter: Delimiter): number {
  const head = text.split(/\r\n|\n|\r/, 60).join('\n');
  const rows = parsed(head, delimiter).rows.filter((row) => row.some((cell) => cell !== ''));
  const counts = new Map<number, number>();
  for (const row of rows) if (row.length > 1) counts.set(row.length, (counts.get(row.length) ?? 0) + 1);
  return rows.length === 0 ? 0 : Math.max(0, ...counts.values()) / rows.length;
}

function chosen(text: string): { delimiter: Delimiter; told: string } {
  const named = /^sep=([;,|\t])\r?\n/i.exec(text)?.[1];
  const byName = DELIMITERS.find((one) => SIGN[one] === named);
  if (byName !== undefined) return { delimiter: byName, told: `${SAYS[byName]}, as its first line says` };
  // The earlier wins where two fit as well: a comma is in numbers and names too.
  const fits = (['tab', 'semicolon', 'bar', 'comma'] as const).map((one) => ({
    one,
    share: alike(text, one),
  }));
  const best = fits.reduce((a, b) => (b.share > a.share ? b : a));
  if (best.share === 0) return { delimiter: 'none', told: SAYS.none };
  return {
    delimiter: best.one,
    told: `${SAYS[best.one]}: ${Math.round(best.share * 100)} % of the first rows have as many cells`,
  };
}

/**
 * A list in text as rows and cells (RFC 4180, any of four delimiters; the one that parts most rows alike is taken).
 * @param wanted the delimiter as a person says
 * @throws HostTrouble when it is larger than a list of a workshop
 */
export function gridOf(text: string, name: string, wanted?: Delimiter): Grid {
  const { delimiter, told } = wanted === undefined ? chosen(text) : { delimiter: wanted, told: 'as chosen' };
  const { rows, torn } = parsed(text.replace(/^sep=[;,|\t]\r?\n/i, '\n'), delimiter);
  const width = Math.max(1, ...rows.map((row) => row.length));
  if (rows.length > ROWS_LIMIT || width > COLUMNS_LIMIT)
    throw new HostTrouble(
      `The list has ${rows.length} rows of ${width} cells; ${ROWS_LIMIT} rows of ${COLUMNS_LIMIT} are taken at once.`,
      name,
      'Part it into several lists.',
    );
  return {
    rows: rows.map((row) => [...row, ...Array<string>(width - row.length).fill('')]),
    delimiter,
    told,
    torn,
  };
}
