import { isCas } from '../../../core/formula/cas.ts';
import type { Material, Note } from '../../../core/formula/types.ts';
import { Decimal, type DecimalText, decimal, plain } from '../../../core/quantity/decimal.ts';
import { gramsKeepingDigits, MASS_UNITS } from '../../../core/quantity/units.ts';
import type { DecimalSign } from '../documents/csv.ts';
import { SHELVES } from '../organ.ts';
import { type DayFirst, readDate } from './dates.ts';
import { plainWords } from './fields.ts';
import { asFraction, readFigure } from './figures.ts';
import type { ListRow, Remarks } from './reading.ts';

/** How the cells of a list are read. */
export interface CellReading {
  readonly sign: DecimalSign;
  readonly order: (field: string) => DayFirst;
  readonly remarks: Remarks;
}

const CORRECT = 'Correct the cell, or leave the row out.';

/** A figure above or at zero; null where the cell is empty or wrong, which is remarked. */
function figureAt(row: ListRow, field: string, { sign, remarks }: CellReading) {
  const text = row.at(field);
  if (text === '') return null;
  const read = readFigure(text, sign);
  if (typeof read === 'string') {
    remarks.wrong(row, field, `${read}.`, CORRECT);
    return null;
  }
  if (decimal(read.value).lt(0)) {
    remarks.wrong(row, field, `"${text}" is below zero.`, CORRECT);
    return null;
  }
  return read;
}

/** A mass in g, with the digits kept. */
export function massAt(row: ListRow, field: string, how: CellReading): DecimalText | null {
  const read = figureAt(row, field, how);
  if (read === null) return null;
  const unit = read.unit ?? row.unit(field) ?? 'g';
  const code = /^gr(ams?|amm)?$/.test(unit) && unit !== 'gr' ? 'g' : unit;
  if (Object.hasOwn(MASS_UNITS, code)) return gramsKeepingDigits(read.value, code);
  how.remarks.wrong(
    row,
    field,
    `"${row.at(field)}" counts in ${unit}, which is no unit of mass.`,
    'Weigh it and write grams, or leave the cell empty.',
  );
  return null;
}

/** The price of one gram. */
export function priceAt(row: ListRow, how: CellReading): DecimalText | null {
  const read = figureAt(row, 'price', how);
  if (read === null) return null;
  const per: Record<string, number> = { '1 g': 1, '10 g': 10, '100 g': 100, '1 kg': 1000 };
  return plain(
    decimal(read.value)
      .div(per[row.unit('price') ?? '1 g'] ?? 1)
      .toDecimalPlaces(12),
  );
}

/** A strength as a mass fraction above 0 and at most 1. */
export function strengthAt(row: ListRow, how: CellReading): DecimalText | null {
  if (/^(neat|pure|pur|puro)$/i.test(row.at('strength'))) return '1';
  const read = figureAt(row, 'strength', how);
  if (read === null) return null;
  const percent = read.unit === '%' || (read.unit === null && row.unit('strength') !== 'fraction');
  const strength = asFraction(read.value, percent ? 'percent' : 'fraction');
  if (decimal(strength).gt(0) && decimal(strength).lte(1)) return strength;
  how.remarks.wrong(
    row,
    'strength',
    `A strength of "${row.at('strength')}" is not above 0 and at most 100 %.`,
    CORRECT,
  );
  return null;
}

export function dateAt(row: ListRow, field: string, how: CellReading): string | null {
  const text = row.at(field);
  if (text === '' || text === '-') return null;
  const read = readDate(text, how.order(field));
  if (typeof read === 'string') return read;
  how.remarks.wrong(row, field, `${read.wrong}.`, 'Write year, month and day: 2027-09-30.');
  return null;
}

export function casAt(row: ListRow, how: CellReading): string | null {
  const text = row.at('cas').replace(/^cas[\s:#-]*/i, '');
  if (text === '' || text === '-') return null;
  if (isCas(text)) return text;
  how.remarks.wrong(
    row,
    'cas',
    `"${text}" is no CAS number: its digits do not fit its check digit.`,
    "Look it up on the supplier's document, or empty the cell.",
  );
  return null;
}

export function densityAt(row: ListRow, how: CellReading): DecimalText | null {
  const read = figureAt(row, 'density', how);
  if (read === null) return null;
  const value = decimal(read.value);
  if (value.gt('0.3') && value.lt(3)) return read.value;
  how.remarks.wrong(
    row,
    'density',
    `A density of ${row.at('density')} g/mL is that of no liquid of a perfumer.`,
    'Correct the cell, the decimal sign, or empty it.',
  );
  return null;
}

const NOTES: Readonly<Record<string, Note>> = {
  ...{ top: 'top', t: 'top', head: 'top', kopf: 'top', tete: 'top' },
  ...{ heart: 'heart', h: 'heart', middle: 'heart', mid: 'heart', m: 'heart', herz: 'heart', coeur: 'heart' },
  ...{ base: 'base', b: 'base', basis: 'base', fond: 'base', drydown: 'base' },
};

/** The note a cell names; undefined where it is empty or names none, which is told. */
export function noteAt(row: ListRow, { remarks }: CellReading): Note | undefined {
  const words = plainWords(row.at('note')).replace(/ ?note$/, '');
  if (words === '' || words === '-') return undefined;
  const first = words.split(/[\s/,&-]+/)[0] ?? '';
  const found = NOTES[words] ?? NOTES[first];
  if (found === undefined) remarks.note(row, 'note', `"${row.at('note')}" is no note.`, 'It is left empty.');
  else if (NOTES[words] === undefined) remarks.note(row, 'note', `"${row.at('note')}" is taken as ${found}.`);
  return found;
}

/** The shelf a family stands on: one of the Organ's own where the word is one of them, else as it is written. */
export function familyAt(row: ListRow): string | undefined {
  const text = row.at('family');
  if (text === '' || text === '-') return undefined;
  const words = plainWords(text);
  const own = [...SHELVES, 'solvents'].find(
    (one) => words === one || `${words}s` === one || `${words}es` === one || words === `${one.slice(0, -1)}y`,
  );
  return own ?? text.toLowerCase();
}

export function solidAt(row: ListRow): boolean | undefined {
  const words = plainWords(row.at('solid'));
  if (/^(yes|y|true|1|x|solid|powder|crystals?|crystalline|fest|pulver|oui|si)$/.test(words)) return true;
  return words === '' ? undefined : false;
}

export function kindAt(row: ListRow, family: string | undefined): Material['kind'] | undefined {
  const words = plainWords(row.at('kind'));
  if (/solvent|losungsmittel|solvant|carrier/.test(words) || family === 'solvents') return 'solvent';
  return /neat|material|oil|pure/.test(words) ? 'neat' : undefined;
}

export const percentText = (fraction: DecimalText): string => plain(new Decimal(fraction).times(100));
