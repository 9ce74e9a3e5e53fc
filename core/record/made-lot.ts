import type { Lot } from '../formula/types.ts';
import { Decimal, fixed } from '../quantity/decimal.ts';
import type { AsMade } from './as-made.ts';
import type { AsMadeUncertainty } from './uncertainty.ts';

const DECIMALS = 10;

/**
 * The lot that a closed batch becomes: its composition as made, fractions summing to exactly one (what rounding at the
 * tenth decimal leaves goes to the largest), their standard uncertainties, and the price of a gram where every lot has one.
 * @throws RangeError when nothing was poured
 */
export function madeLot(
  made: AsMade,
  uncertainty: AsMadeUncertainty,
  label: {
    readonly code: string;
    readonly name: string;
    readonly batch: string;
    readonly bestBefore?: string;
  },
): Lot {
  const present = made.composition.filter(({ fraction }) => fraction.gt(0));
  const largest = present.reduce((a, b) => (b.fraction.gt(a.fraction) ? b : a), present[0] ?? nothing());
  const rounded = new Map(
    present.map(({ material, fraction }) => [material, fraction.toDecimalPlaces(DECIMALS)]),
  );
  const sum = [...rounded.values()].reduce((total, fraction) => total.plus(fraction), new Decimal(0));
  const left = new Decimal(1).minus(sum);
  rounded.set(largest.material, (rounded.get(largest.material) ?? left).plus(left));
  const text = (value: Decimal): string => fixed(value, Math.min(DECIMALS, value.decimalPlaces()));
  const { code, name, batch, bestBefore } = label;
  return {
    code,
    name,
    composition: Object.fromEntries([...rounded].map(([key, fraction]) => [key, text(fraction)])),
    uncertainty: Object.fromEntries(
      present.map(({ material }) => [
        material,
        text(new Decimal(uncertainty.materials.get(material)?.u ?? 0)),
      ]),
    ),
    stock: text(made.total),
    ...(made.unpriced.length === 0 ? { price: text(made.cost.div(made.total)) } : {}),
    madeBy: batch,
    ...(bestBefore === undefined ? {} : { bestBefore }),
  };
}

function nothing(): never {
  throw new RangeError('nothing was poured: there is no lot to make');
}
