import { decimalsOf } from '../../core/quantity/decimal.ts';
import { gramsKeepingDigits } from '../../core/quantity/units.ts';
import type { Observation } from '../../core/weighing/reading.ts';
import type { Piece } from './framer.ts';
import type { Meaning, Shape } from './shape.ts';

/** Words of a low battery (common practice, no source). */
const LOW_BATTERY = /^ *(?:LO(?:W)?[ -]?BAT(?:T(?:ERY)?)?|BAT(?:T(?:ERY)?)?[ -]?LO(?:W)?)[ .!]*$/i;

/** Lines that many balances print between weights and that are no weight in any shape. */
const BETWEEN = [
  {
    what: 'date or time',
    pattern: /^ *(?:Date|Time)?[ :.]*(?:\d{2,4}[-/.]\d\d[-/.]\d{2,4})?[ ,]*(?:\d\d:\d\d(?::\d\d)?)? *$/,
  },
  { what: 'rule', pattern: /^[-=*_ ]{3,}$/ },
] as const;

/**
 * Turns the framer's pieces into observations of one shape. It remembers one thing: the last unit of mass seen, so
 * that a moving reading whose unit the shape blanks can be shown. Such a reading is never stable, so nothing is
 * captured on a unit that was only remembered. Make a new reader at each opening.
 */
export class Reader {
  readonly shape: Shape;
  readonly #said: string | null;
  #unit: string | null = null;

  /** @param said the unit of the display as the person says it, for shapes that never send one */
  constructor(shape: Shape, said: string | null = null) {
    this.shape = shape;
    this.#said = said;
  }

  read(piece: Piece): Observation {
    if (piece.kind === 'refused') return piece;
    const { text: raw, at } = piece;
    const meaning = this.shape.parse(raw);
    if (meaning === null) {
      if (LOW_BATTERY.test(raw))
        return {
          kind: 'fault',
          what: 'the balance says its battery is low: charge it or plug it in',
          raw,
          at,
        };
      const between = BETWEEN.find(({ pattern }) => pattern.test(raw));
      if (between !== undefined) return { kind: 'noise', what: between.what, raw, at };
      return { kind: 'refused', raw, why: `the line has not the shape "${this.shape.name}"`, at };
    }
    if (meaning.kind === 'weight') return this.#weight(meaning, raw, at);
    if (meaning.kind === 'not-a-weight') this.#unit = null;
    return { ...meaning, raw, at };
  }

  #weight(meaning: Extract<Meaning, { kind: 'weight' }>, raw: string, at: number): Observation {
    const { figure, uncertified } = meaning;
    const unit = this.#unitOf(meaning.unit);
    if (unit === null && meaning.unit === 'blank')
      return { kind: 'noise', what: 'moving, and the balance has not yet said its unit', raw, at };
    if (unit === null) {
      const why =
        'the line carries no unit; say which unit the balance shows, or choose an output with the unit in its menu';
      return { kind: 'refused', raw, why, at };
    }
    return {
      kind: 'weight',
      g: gramsKeepingDigits(figure, unit),
      figure,
      digits: decimalsOf(figure),
      unit,
      stable: meaning.unit === 'blank' ? false : meaning.stable,
      ...(uncertified === true ? { uncertified } : {}),
      raw,
      at,
    };
  }

  #unitOf(unit: string): string | null {
    if (unit === 'blank') return this.#unit;
    if (unit === 'none') return this.#said;
    this.#unit = unit;
    return unit;
  }
}
