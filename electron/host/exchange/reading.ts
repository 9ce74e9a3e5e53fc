/** Something about a cell or row of a list that a person should know; where it stops, nothing is taken until it is mended. */
export interface Remark {
  readonly row: number;
  /** Index of the column; null where the whole row is meant. */
  readonly column: number | null;
  readonly what: string;
  readonly next: string;
  readonly stops: boolean;
}

/** A row to be read: its number in the list and its cells by field. */
export interface ListRow {
  readonly row: number;
  /** The cell of a field, empty where there is no such column. */
  at(field: string): string;
  /** Column of a field; null where there is none. */
  column(field: string): number | null;
  /** Unit that the figures of a field count in. */
  unit(field: string): string | null;
}

/** Collects remarks. */
export class Remarks {
  readonly all: Remark[] = [];

  wrong(row: ListRow, field: string | null, what: string, next: string): void {
    const column = field === null ? null : row.column(field);
    this.all.push({ row: row.row, column, what, next, stops: true });
  }

  note(row: ListRow, field: string | null, what: string, next = ''): void {
    const column = field === null ? null : row.column(field);
    this.all.push({ row: row.row, column, what, next, stops: false });
  }
}

/** Names written as an identity: small letters and digits without accents, joined by hyphens. */
export const keyOf = (name: string): string =>
  name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'material';

/** Whether two names are the same but for case, accents, blanks and signs. */
export const sameName = (a: string, b: string): boolean => keyOf(a) === keyOf(b);
