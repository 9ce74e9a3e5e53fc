import { isCas } from '../../../core/formula/cas.ts';
import { type Field, fieldsOf, headingUnit, plainWords, type Target } from './fields.ts';

/** What a column is taken for. */
export interface Column {
  readonly index: number;
  readonly heading: string;
  readonly field: string | null;
  readonly unit: string | null;
  /** What its figures may count in. */
  readonly units: readonly string[];
  /** Why it is taken so, in words. */
  readonly why: string;
}

/** What a person says of a column. */
export interface ColumnWish {
  readonly field: string | null;
  readonly unit?: string | undefined;
}

const TOTAL =
  /^(grand |sub[- ]?)?(total|totals|sum|summe|gesamt|gesamtsumme|zwischensumme|somme|suma|totale|together|in all)\b/;

/** Whether a row is a total of others, by its first words. */
export const isTotal = (row: readonly string[]): boolean =>
  TOTAL.test(plainWords(row.find((cell) => cell !== '') ?? ''));

const isNumber = (cell: string): boolean => /^[€$£]?\s*[+-]?[\d.,'\s]*\d\s*(%|[a-zµ]{1,3})?$/i.test(cell);

/** How well a heading names a field: 2 exactly, 1 among other words, 0 not. */
function match(heading: string, field: Field): number {
  const words = plainWords(heading);
  const whole = heading.toLowerCase().trim();
  if (field.words.includes(words) || field.words.includes(whole)) return 2;
  const inside = field.words.some(
    (word) =>
      word.length > 2 &&
      new RegExp(`(^|[^a-z])${word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}($|[^a-z])`).test(words),
  );
  return inside ? 1 : 0;
}

/**
 * The row of headings among the first: the one most cells of which name a field, without a figure among them; 0 where
 * there is none.
 */
export function headerRow(rows: readonly (readonly string[])[], target: Target): number {
  const fields = fieldsOf(target);
  let best = { row: 0, hits: 0 };
  for (const [at, row] of rows.slice(0, 20).entries()) {
    const filled = row.filter((cell) => cell !== '');
    if (filled.some(isNumber) || isTotal(row)) continue;
    const hits = filled.filter((cell) => fields.some((field) => match(cell, field) > 0)).length;
    const exact = filled.filter((cell) => fields.some((field) => match(cell, field) === 2)).length;
    const counts = filled.length === 1 ? exact : hits;
    if (counts > best.hits && (exact > 0 || hits > 1)) best = { row: at + 1, hits: counts };
  }
  return best.row;
}

const NOTES = /^(top|head|heart|middle|mid|base|kopf|herz|basis|tete|coeur|fond)( note)?$/;

/** What the cells of a column say by themselves; null where they say nothing. */
function byValues(
  cells: readonly string[],
  free: (field: string) => boolean,
): { field: string; why: string } | null {
  const filled = cells.filter((cell) => cell !== '');
  if (filled.length === 0) return null;
  const share = (test: (cell: string) => boolean) => filled.filter(test).length;
  const found = (field: string, count: number, what: string) =>
    free(field) && count >= filled.length * 0.8
      ? { field, why: `by its cells: ${count} of ${filled.length} are ${what}` }
      : null;
  return (
    found('cas', share(isCas), 'CAS numbers') ??
    found(
      'note',
      share((cell) => NOTES.test(plainWords(cell))),
      'notes',
    ) ??
    found(
      'bestBefore',
      share((cell) => /^\d{4}-\d\d-\d\d$|^\d{1,2}\.\d{1,2}\.\d{4}$/.test(cell)),
      'dates',
    ) ??
    found(
      'strength',
      share((cell) => /^[\d.,]+\s*%$/.test(cell)),
      'per cent',
    ) ??
    found('amount', share(isNumber), 'figures') ??
    found(
      'name',
      share((cell) => /\p{L}{3}/u.test(cell) && !isNumber(cell)),
      'words',
    )
  );
}

function unitOf(
  field: Field | undefined,
  heading: string,
  cells: readonly string[],
): { unit: string | null; why: string } {
  const units = field?.units;
  if (units === undefined) return { unit: null, why: '' };
  const named = headingUnit(heading, units);
  if (named !== null) return { unit: named, why: `, in ${named} by its heading` };
  const filled = cells.filter((cell) => cell !== '');
  if (units.includes('percent') && filled.some((cell) => cell.includes('%')))
    return { unit: 'percent', why: ', in per cent by its signs' };
  if (field?.field === 'strength') {
    const large = filled.some((cell) => Number(cell.replace(',', '.')) > 1);
    return large
      ? { unit: 'percent', why: ', in per cent: some are above 1' }
      : { unit: 'fraction', why: ', as fractions: none is above 1' };
  }
  return {
    unit: units[0] ?? null,
    why: units.length > 1 ? `, in ${units[0]} as nothing says otherwise` : '',
  };
}

/** Columns of a list, each with what it is taken for and why; a person's wishes come first. */
export function columnsOf(
  rows: readonly (readonly string[])[],
  header: number,
  target: Target,
  wishes: Readonly<Record<string, ColumnWish>>,
): Column[] {
  const fields = fieldsOf(target);
  const headings = header === 0 ? [] : (rows[header - 1] ?? []);
  const width = rows[0]?.length ?? 0;
  const taken = new Map<number, { field: string; why: string }>();
  const wished = (index: number): ColumnWish | undefined => wishes[String(index)];
  const free = (field: string): boolean =>
    fields.some((one) => one.field === field) &&
    ![...taken.values()].some((one) => one.field === field) &&
    !Object.values(wishes).some((one) => one.field === field);
  for (const grade of [2, 1])
    for (let index = 0; index < width; index += 1) {
      if (taken.has(index) || wished(index) !== undefined) continue;
      const heading = headings[index] ?? '';
      const found = fields.find((field) => free(field.field) && match(heading, field) === grade);
      if (found !== undefined) taken.set(index, { field: found.field, why: `by its heading "${heading}"` });
    }
  const cellsOf = (index: number): string[] =>
    rows.slice(header).flatMap((row) => (isTotal(row) ? [] : [row[index] ?? '']));
  for (let index = 0; index < width; index += 1) {
    if (taken.has(index) || wished(index) !== undefined || (headings[index] ?? '') !== '') continue;
    const found = byValues(cellsOf(index), free);
    if (found !== null) taken.set(index, found);
  }
  return Array.from({ length: width }, (_, index): Column => {
    const heading = headings[index] ?? '';
    const wish = wished(index);
    const guess = taken.get(index);
    const field = fields.find((one) => one.field === (wish === undefined ? guess?.field : wish.field));
    const guessed = unitOf(field, heading, cellsOf(index));
    const asWished = wish?.unit !== undefined && field?.units?.includes(wish.unit) === true;
    return {
      index,
      heading: heading === '' ? `column ${index + 1}` : heading,
      field: field?.field ?? null,
      unit: asWished ? (wish?.unit ?? null) : guessed.unit,
      units: field?.units ?? [],
      why:
        wish !== undefined
          ? 'as chosen'
          : guess === undefined
            ? headings[index]
              ? 'not taken: nothing here goes by this name'
              : 'not taken: it has no heading, and its cells do not tell'
            : `${guess.why}${guessed.why}`,
    };
  });
}
