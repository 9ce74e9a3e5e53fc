import { decimalsOf } from '../../core/quantity/decimal.ts';
import { gramsKeepingDigits } from '../../core/quantity/units.ts';
import type { Observation } from '../../core/weighing/reading.ts';
import type { Piece } from './framer.ts';
import type { Shape } from './shape.ts';

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
  #unit: string | null = null;

  constructor(shape: Shape) {
    this.shape = shape;
  }

  read(piece: Piece): Observation {
    if (piece.kind === 'refused') return piece;
    const { text: raw, at } = piece;
    const meaning = this.shape.parse(raw);
    if (meaning === null) {
      const between = BETWEEN.find(({ pattern }) => pattern.test(raw));
      if (between !== undefined) return { kind: 'noise', what: between.what, raw, at };
      return { kind: 'refused', raw, why: `the line has not the shape "${this.shape.name}"`, at };
    }
    switch (meaning.kind) {
      case 'weight':
        return this.#weight(meaning, raw, at);
      case 'not-a-weight':
        this.#unit = null;
        return { ...meaning, raw, at };
      default:
        return { ...meaning, raw, at };
    }
  }

  #weight(
    meaning: Extract<ReturnType<Shape['parse']>, { kind: 'weight' }>,
    raw: string,
    at: number,
  ): Observation {
    const unit = meaning.unit ?? this.#unit;
    if (unit === null)
      return { kind: 'refused', raw, why: 'moving, and the balance has not yet said its unit', at };
    this.#unit = unit;
    const { figure } = meaning;
    return {
      kind: 'weight',
      g: gramsKeepingDigits(figure, unit),
      figure,
      digits: decimalsOf(figure),
      unit,
      stable: meaning.unit === null ? false : meaning.stable,
      ...(meaning.uncertified === true ? { uncertified: true } : {}),
      raw,
      at,
    };
  }
}
