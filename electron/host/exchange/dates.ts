/** Order of day and month in dates with slashes; null where the list does not tell. */
export type DayFirst = boolean | null;

const two = (n: number): string => String(n).padStart(2, '0');

/** ISO 8601 text of a day, or null where there is no such day. */
function day(year: number, month: number, date: number): string | null {
  const full = year < 100 ? 2000 + year : year;
  const made = new Date(Date.UTC(full, month - 1, date));
  return made.getUTCMonth() === month - 1 && made.getUTCDate() === date
    ? `${full}-${two(month)}-${two(date)}`
    : null;
}

/** Last day of a month: what is best before a month is so to its end. */
const monthEnd = (year: number, month: number): string | null =>
  month < 1 || month > 12 ? null : day(year, month, new Date(Date.UTC(year, month, 0)).getUTCDate());

const SLASHED = /^(\d{1,2})[/](\d{1,2})[/](\d{2}|\d{4})$/;

/** Whether days stand before months in the dates with slashes of a column. */
export function dayFirst(cells: readonly string[]): DayFirst {
  let first = false;
  let second = false;
  for (const cell of cells) {
    const [, a, b] = SLASHED.exec(cell) ?? [];
    if (Number(a) > 12) first = true;
    if (Number(b) > 12) second = true;
  }
  return first === second ? null : first;
}

/**
 * A date in a cell as ISO 8601: "2027-09-30", "30.9.2027", "30/09/2027", or a month, "09/2027", to its end.
 * @returns `{ wrong }` in words, where it is none or could be two
 */
export function readDate(text: string, order: DayFirst): string | { readonly wrong: string } {
  const no = { wrong: `"${text}" is not a date` };
  const [, y, m, d] = /^(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ].*)?$/.exec(text) ?? [];
  if (y !== undefined) return day(Number(y), Number(m), Number(d)) ?? no;
  const [, dd, dm, dy] = /^(\d{1,2})\.(\d{1,2})\.(\d{2}|\d{4})$/.exec(text) ?? [];
  if (dd !== undefined) return day(Number(dy), Number(dm), Number(dd)) ?? no;
  const [, ym, mm] = /^(\d{4})[-/](\d{1,2})$/.exec(text) ?? [];
  if (ym !== undefined) return monthEnd(Number(ym), Number(mm)) ?? no;
  const [, mo, my] = /^(\d{1,2})[/.](\d{4})$/.exec(text) ?? [];
  if (mo !== undefined) return monthEnd(Number(my), Number(mo)) ?? no;
  const [, a, b, c] = SLASHED.exec(text) ?? [];
  if (a === undefined) return no;
  const [dayPart, monthPart] = order === false ? [b, a] : [a, b];
  if (order === null && a !== b)
    return { wrong: `"${text}" could be two days: nothing in the column tells day from month` };
  return day(Number(c), Number(monthPart), Number(dayPart)) ?? no;
}
