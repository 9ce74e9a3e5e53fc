import { defaultMaterial } from '../../../core/formula/defaults.ts';
import type { Lot, Material } from '../../../core/formula/types.ts';
import {
  AMOUNT_UNITS,
  type AmountUnit,
  type WrittenFormula,
  type WrittenLine,
} from '../../../core/formula/written.ts';
import { Decimal, type DecimalText, decimal, plain } from '../../../core/quantity/decimal.ts';
import { gramsKeepingDigits } from '../../../core/quantity/units.ts';
import type { Workshop } from '../store/workshop.ts';
import { readFigure } from './figures.ts';
import { dilutionNamed, liquidNamed, materialNamed } from './named.ts';
import { keyOf, type ListRow, sameName } from './reading.ts';
import { type CellReading, strengthAt } from './shelf-cells.ts';

/** What a person says of the formula beside its lines. */
export interface FormulaWish {
  readonly name: string;
  /** Mass of the batch, g; absent, what the lines add up to, else 10. */
  readonly batch?: DecimalText | undefined;
  /** Per cent that do not add up to a hundred are taken as parts of their sum. */
  readonly scale?: boolean | undefined;
  /** Name of the material that fills to the whole. */
  readonly fill?: string | undefined;
  /** Solvent of dilutions where the list does not say; empty for none. */
  readonly solvent: string;
}

export interface FormulaList {
  /** Null while it cannot be written. */
  readonly written: WrittenFormula | null;
  /** Materials that the Organ does not have yet. */
  readonly materials: readonly Material[];
  /** What the lines add up to, in words. */
  readonly sum: string;
  /** What is wrong with the whole, and what to do. */
  readonly wrong: { readonly what: string; readonly next: string } | null;
}

const QS = /^(q\.?\s?s\.?p?\.?|ad|to|auf|fill|rest|balance)\b/i;
const TOLERANCE = '0.01';
const DEFAULT_BATCH = '10';

/** The solvent that a bottle of a dilution is mostly of; null where it is none. */
function solventIn(lot: Lot | undefined, material: string): string | null {
  const others = Object.entries(lot?.composition ?? {}).filter(([key]) => key !== material);
  const [most] = others.sort(([, a], [, b]) => decimal(b).cmp(decimal(a)));
  return most?.[0] ?? null;
}

class FormulaReader {
  readonly #workshop: Workshop;
  readonly #how: CellReading;
  readonly #wish: FormulaWish;
  readonly #new = new Map<string, Material>();
  readonly #lines: WrittenLine[] = [];
  readonly #seen = new Map<string, number>();

  constructor(workshop: Workshop, how: CellReading, wish: FormulaWish) {
    this.#workshop = workshop;
    this.#how = how;
    this.#wish = wish;
  }

  read(rows: readonly ListRow[], total: DecimalText | null): FormulaList {
    for (const row of rows) this.#row(row);
    const { sum, wrong, ...whole } = this.#whole(total);
    const stopped = wrong !== null || this.#how.remarks.all.some((one) => one.stops);
    const { name } = this.#wish;
    return {
      written: stopped ? null : { id: this.#idOf(name), name, tolerance: TOLERANCE, ...whole },
      materials: [...this.#new.values()],
      sum,
      wrong,
    };
  }

  /** The formula that is here by this name, or a new one. */
  #idOf(name: string): string {
    return this.#workshop.formulas.find((one) => sameName(one.name, name))?.id ?? keyOf(name);
  }

  #row(row: ListRow): void {
    const { remarks } = this.#how;
    const code = row.at('code');
    const lot = code === '' ? undefined : this.#workshop.lots.find((one) => one.code === code);
    if (code !== '' && lot === undefined)
      remarks.note(row, 'code', `There is no bottle ${code}.`, 'The plan chooses one.');
    if (row.at('name') === '') {
      remarks.wrong(row, 'name', 'The row names no material.', 'Write its name, or leave the row out.');
      return;
    }
    const told = dilutionNamed(row.at('name'));
    const strength =
      strengthAt(row, this.#how) ?? (told === null ? null : plain(decimal(told.percent).div(100)));
    const material = this.#material(row, told?.neat ?? row.at('name'));
    const qs = QS.test(row.at('amount'));
    const amount = qs ? null : this.#amount(row);
    const dilution =
      strength === null || decimal(strength).eq(1)
        ? undefined
        : this.#dilution(row, strength, told?.solvent ?? solventIn(lot, material));
    const before = this.#seen.get(material);
    if (before !== undefined)
      remarks.note(
        row,
        'name',
        `${row.at('name')} is in row ${before} too.`,
        'Both lines are taken; the plan joins them.',
      );
    else this.#seen.set(material, row.row);
    if (dilution === null || (!qs && amount === null)) return;
    this.#lines.push({
      id: `l${this.#lines.length + 1}`,
      of: { material },
      ...(amount === null ? {} : { amount }),
      ...(dilution === undefined ? {} : { dilution }),
      ...(qs ? { qs: true as const } : {}),
      ...(lot === undefined ? {} : { lot: lot.code }),
    });
  }

  #amount(row: ListRow): { figure: DecimalText; unit: AmountUnit } | null {
    const { remarks, sign } = this.#how;
    const text = row.at('amount');
    const read = text === '' ? 'The amount is missing' : readFigure(text, sign);
    const wrong = (what: string) => {
      remarks.wrong(
        row,
        'amount',
        what,
        'Write how much goes in, "q.s." for the line that fills, or leave the row out.',
      );
      return null;
    };
    if (typeof read === 'string') return wrong(`${read}.`);
    if (!decimal(read.value).gt(0)) return wrong(`"${text}" is not above 0.`);
    const unit = read.unit === '%' ? 'percent' : (read.unit ?? row.unit('amount') ?? 'g');
    if (['g', 'mg', 'kg'].includes(unit))
      return { figure: gramsKeepingDigits(read.value, unit), unit: 'grams' };
    const known = AMOUNT_UNITS.find((one) => one === unit);
    return known === undefined
      ? wrong(`"${text}" counts in ${unit}, which is neither a mass nor a share.`)
      : { figure: read.value, unit: known };
  }

  #material(row: ListRow, name: string): string {
    const known = [...this.#workshop.materials, ...this.#new.values()];
    const liquid = liquidNamed(name, known);
    const found = materialNamed(name, known) ?? known.find((one) => one.key === liquid?.material);
    if (found !== undefined && found !== null) return found.key;
    const key = liquid?.material ?? keyOf(name);
    this.#new.set(key, liquid === null ? { ...defaultMaterial(key, 'neat'), name } : defaultMaterial(key));
    const near = this.#workshop.materials.find((one) => keyOf(one.name).startsWith(`${key}-`));
    if (near !== undefined)
      this.#how.remarks.note(
        row,
        'name',
        `"${name}" is not in the Organ, ${near.name} is.`,
        `It comes in as a new material; write ${near.name} if that is meant.`,
      );
    return key;
  }

  #dilution(row: ListRow, strength: DecimalText, told: string | null) {
    const name = row.at('solvent') || told || this.#wish.solvent;
    const liquid = name === '' ? null : liquidNamed(name, this.#workshop.materials);
    if (liquid !== null) {
      this.#solvent(liquid.material);
      return { strength, solvent: liquid.material };
    }
    this.#how.remarks.wrong(
      row,
      row.column('solvent') === null ? 'name' : 'solvent',
      name === ''
        ? 'The solvent of the dilution is not told.'
        : `"${name}" is no solvent that is known here.`,
      'Choose one for all dilutions above, or bring the solvent in first.',
    );
    return null;
  }

  #solvent(key: string): void {
    if (this.#workshop.materials.some((one) => one.key === key)) return;
    this.#new.set(key, this.#new.get(key) ?? defaultMaterial(key));
  }

  /** The lines as a whole: their sum, the batch, and what fills. */
  #whole(
    total: DecimalText | null,
  ): Pick<WrittenFormula, 'batch' | 'lines'> &
    Pick<FormulaList, 'sum' | 'wrong'> & { partsOf?: DecimalText } {
    const { scale, fill, batch } = this.#wish;
    const of = (unit: AmountUnit) =>
      this.#lines.reduce(
        (sum, { amount }) => (amount?.unit === unit ? sum.plus(amount.figure) : sum),
        new Decimal(0),
      );
    const [percent, grams, parts] = [of('percent'), of('grams'), of('parts')];
    const fills = fill !== undefined && fill !== '' && !this.#lines.some((line) => line.qs);
    const lines = fills ? [...this.#lines, this.#filling(fill)] : this.#lines;
    const qs = lines.some((line) => line.qs);
    const sum = [
      ...(percent.isZero() ? [] : [`${plain(percent)} %`]),
      ...(grams.isZero() ? [] : [`${plain(grams)} g`]),
      ...(parts.isZero() ? [] : [`${plain(parts)} parts`]),
    ].join(' and ');
    const differs = !qs && total !== null && !decimal(total).eq(percent.plus(grams).plus(parts));
    const mass =
      batch ?? (grams.isZero() ? DEFAULT_BATCH : plain(qs && total !== null ? decimal(total) : grams));
    const wrong = this.#wrongWhole({ percent, grams, parts, qs, mass: decimal(mass) });
    const asParts = scale === true && !percent.isZero() && grams.isZero() && !qs;
    return {
      sum: differs ? `${sum}, while the list's own total says ${total}` : sum,
      batch: mass,
      wrong: asParts ? null : wrong,
      ...(parts.isZero() || !qs ? {} : { partsOf: total ?? '100' }),
      lines: asParts
        ? lines.map((line) =>
            line.amount === undefined ? line : { ...line, amount: { ...line.amount, unit: 'parts' } },
          )
        : lines,
    };
  }

  #filling(name: string): WrittenLine {
    const liquid = liquidNamed(name, this.#workshop.materials);
    const material = liquid?.material ?? materialNamed(name, this.#workshop.materials)?.key ?? keyOf(name);
    this.#solvent(material);
    return { id: `l${this.#lines.length + 1}`, of: { material }, qs: true };
  }

  #wrongWhole(sums: {
    percent: Decimal;
    grams: Decimal;
    parts: Decimal;
    qs: boolean;
    mass: Decimal;
  }): FormulaList['wrong'] {
    const { percent, grams, parts, qs, mass } = sums;
    if (this.#wish.name.trim() === '') return { what: 'The formula has no name.', next: 'Write one above.' };
    if (this.#lines.length === 0)
      return { what: 'No line is left.', next: 'Take other columns, or other rows.' };
    if (this.#lines.filter((line) => line.qs).length > 1)
      return { what: 'Two lines fill to the whole.', next: 'Give one of them an amount.' };
    const share = percent.plus(grams.isZero() ? 0 : grams.div(mass).times(100));
    if (grams.isZero() && !percent.isZero() && parts.isZero() && (qs ? percent.gt(100) : !percent.eq(100)))
      return {
        what: `The shares add up to ${plain(percent)} %, not to 100 %.`,
        next: percent.gt(100)
          ? 'Correct a share, or take them as parts of their sum.'
          : 'Correct a share, let a material fill to 100 %, or take them as parts of their sum.',
      };
    if (qs && share.gte(100) && parts.isZero())
      return {
        what: `The lines come to ${plain(share.toDecimalPlaces(4))} % of the batch: nothing is left to fill.`,
        next: 'Write a larger batch, or correct a line.',
      };
    return null;
  }
}

/**
 * A formula from the rows of a list. Amounts in per cent, parts or masses; a line "q.s." fills; names may tell a
 * dilution. What is wrong with a row is remarked.
 * @param total what the list itself says it adds up to; null where it does not
 */
export const readFormulaList = (
  rows: readonly ListRow[],
  workshop: Workshop,
  how: CellReading,
  wish: FormulaWish,
  total: DecimalText | null,
): FormulaList => new FormulaReader(workshop, how, wish).read(rows, total);
