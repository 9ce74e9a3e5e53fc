import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import type { Formula } from './types.ts';

/** One material of two formulas; shares are mass fractions of the whole. */
export interface ComparedMaterial {
  readonly material: string;
  readonly how: 'added' | 'removed' | 'changed' | 'same';
  /** Null where the formula does not have it. */
  readonly a: DecimalText | null;
  readonly b: DecimalText | null;
  /** It fills to the whole in a, in b. */
  readonly fills: { readonly a: boolean; readonly b: boolean };
  /** b less a, as a fraction, and in g at the batch asked for. */
  readonly difference: DecimalText;
  readonly grams: DecimalText;
}

const ZERO = new Decimal(0);
const ONE = new Decimal(1);
const DECIMALS = 20;

/** Shares of a formula by material, several lines of one joined; what fills has the rest. */
function sharesByMaterial(formula: Formula): { shares: Map<string, Decimal>; fill: string | null } {
  const shares = new Map<string, Decimal>();
  let sum = ZERO;
  let fill: string | null = null;
  for (const line of formula.lines) {
    if (line.qs === true) fill = line.material;
    const fraction = decimal(line.fraction ?? '0');
    sum = sum.plus(fraction);
    shares.set(line.material, (shares.get(line.material) ?? ZERO).plus(fraction));
  }
  if (fill !== null) shares.set(fill, (shares.get(fill) ?? ZERO).plus(ONE.minus(sum)));
  return { shares, fill };
}

/**
 * Two formulas laid side by side, merged by material: those of `a` in its order, then what only `b` has. What fills to
 * the whole is told with the share that is left for it.
 * @param batch mass of the batch in g that differences are told for
 */
export function compareFormulas(a: Formula, b: Formula, batch: DecimalText): ComparedMaterial[] {
  const left = sharesByMaterial(a);
  const right = sharesByMaterial(b);
  const mass = decimal(batch);
  return [...new Set([...left.shares.keys(), ...right.shares.keys()])].map((material) => {
    const [before, after] = [left.shares.get(material), right.shares.get(material)];
    const difference = (after ?? ZERO).minus(before ?? ZERO).toDecimalPlaces(DECIMALS);
    const changed = difference.isZero() ? 'same' : 'changed';
    return {
      material,
      how: before === undefined ? 'added' : after === undefined ? 'removed' : changed,
      a: before === undefined ? null : plain(before.toDecimalPlaces(DECIMALS)),
      b: after === undefined ? null : plain(after.toDecimalPlaces(DECIMALS)),
      fills: { a: left.fill === material, b: right.fill === material },
      difference: plain(difference),
      grams: plain(difference.times(mass).toDecimalPlaces(DECIMALS)),
    };
  });
}
