import { isCas } from '../../../core/formula/cas.ts';
import { isDay } from '../../../core/formula/shelf-life.ts';
import {
  type Decimal,
  type DecimalText,
  decimal,
  isDecimalText,
  plain,
} from '../../../core/quantity/decimal.ts';

/** One problem of a form: at which field, what is wrong, what to do. */
export interface FieldProblem {
  readonly field: string;
  readonly what: string;
  readonly next: string;
}

/**
 * Reads what is typed in the fields of a form. Each reader gives undefined for an empty field, and for one that is wrong,
 * which is then among the problems.
 */
export class Fields {
  readonly problems: FieldProblem[] = [];

  wrong(field: string, what: string, next: string): undefined {
    this.problems.push({ field, what, next });
    return undefined;
  }

  /** Text without the space around it. */
  text(typed: string): string | undefined {
    const text = typed.trim().replace(/\s+/g, ' ');
    return text === '' ? undefined : text;
  }

  needed(field: string, typed: string, next: string): string | undefined {
    return this.text(typed) ?? this.wrong(field, 'This is empty.', next);
  }

  /** A figure, point or comma, a unit behind it allowed; its digits are kept. */
  figure(field: string, typed: string, unit: string): DecimalText | undefined {
    const text = this.text(typed);
    if (text === undefined) return undefined;
    const bare = unit !== '' && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text;
    const figure = bare.replace(',', '.');
    return isDecimalText(figure)
      ? figure
      : this.wrong(
          field,
          `"${text}" is not a figure.`,
          `Type digits, as in 12.5${unit === '' ? '' : ` (${unit})`}.`,
        );
  }

  /** A figure above zero, or from zero on. */
  positive(field: string, typed: string, unit: string, from: 'zero' | 'above zero'): DecimalText | undefined {
    const figure = this.figure(field, typed, unit);
    if (figure === undefined) return undefined;
    const value = decimal(figure);
    if (from === 'zero' ? value.gte(0) : value.gt(0)) return figure;
    return this.wrong(
      field,
      `${figure} cannot be.`,
      from === 'zero' ? 'It is zero or more.' : 'It is more than zero.',
    );
  }

  /** A percentage as a fraction, above 0 and up to 1. */
  share(field: string, typed: string): Decimal | undefined {
    const figure = this.figure(field, typed, '%');
    if (figure === undefined) return undefined;
    const fraction = decimal(figure).div(100);
    if (fraction.gt(0) && fraction.lte(1)) return fraction;
    return this.wrong(field, `${figure} % cannot be.`, 'It is above 0 and at most 100.');
  }

  /** A standard uncertainty in per cent as a fraction; null where none is told. */
  uncertainty(field: string, typed: string): Decimal | null | undefined {
    const figure = this.positive(field, typed, '%', 'zero');
    if (figure !== undefined) return decimal(figure).div(100);
    return this.text(typed) === undefined ? null : undefined;
  }

  day(field: string, typed: string): string | undefined {
    const text = this.text(typed);
    if (text === undefined || isDay(text)) return text;
    return this.wrong(field, `"${text}" is no day.`, 'Write it as year, month and day: 2026-01-31.');
  }

  cas(field: string, typed: string): string | undefined {
    const text = this.text(typed);
    if (text === undefined || isCas(text)) return text;
    return this.wrong(
      field,
      /^\d{2,7}-\d\d-\d$/.test(text)
        ? `The check digit of ${text} does not fit: a digit is wrong or two are exchanged.`
        : `"${text}" is not written like a Chemical Abstracts number.`,
      "Copy it again from the supplier's document, as in 78-70-6.",
    );
  }
}

/** A fraction as typed in a field: per cent without superfluous noughts. */
export const percentTyped = (fraction: DecimalText | undefined): string =>
  fraction === undefined ? '' : plain(decimal(fraction).times(100));

/** An object without the parts that are undefined. */
export function told<T extends object>(parts: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(parts).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>;
  };
}

/** Text of several lines or parts, each once and without the space around it. */
export const partsOf = (typed: string, between: RegExp): string[] => [
  ...new Set(
    typed
      .split(between)
      .map((part) => part.trim())
      .filter((part) => part !== ''),
  ),
];

/** Initials and digits of a name as a key or code has them: ASCII, accents taken off. */
export const ascii = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .replace(/[^A-Za-z0-9]+/g, ' ')
    .trim();
