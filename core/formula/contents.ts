import { Decimal, type DecimalText, plain } from '../quantity/decimal.ts';
import { UNDECLARED } from './defaults.ts';
import type { Lot } from './types.ts';

/** What a lot holds, as a person tells it. Fractions by mass, `u` standard uncertainties of them. */
export type Contents =
  | { readonly kind: 'neat'; readonly material: string }
  /** The rest is not declared. */
  | {
      readonly kind: 'purity';
      readonly material: string;
      readonly fraction: Decimal;
      readonly u: Decimal | null;
    }
  | {
      readonly kind: 'dilution';
      readonly material: string;
      readonly fraction: Decimal;
      readonly u: Decimal | null;
      /** Composition of what it is diluted with. */
      readonly solvent: Lot['composition'];
    }
  | {
      readonly kind: 'composition';
      readonly parts: readonly {
        readonly material: string;
        readonly fraction: Decimal;
        readonly u: Decimal | null;
      }[];
    };

type Composed = Pick<Lot, 'composition' | 'uncertainty'>;

const DECIMALS = 12;
const one = new Decimal(1);

/** Rounds to the twelfth decimal; what that leaves of one goes to the largest part. */
function whole(parts: ReadonlyMap<string, Decimal>): Record<string, DecimalText> {
  const rounded = [...parts]
    .filter(([, fraction]) => !fraction.isZero())
    .map(([key, fraction]): [string, Decimal] => [key, fraction.toDecimalPlaces(DECIMALS)])
    .sort(([, a], [, b]) => b.cmp(a));
  const sum = rounded.reduce((total, [, fraction]) => total.plus(fraction), new Decimal(0));
  const [largest] = rounded;
  if (largest !== undefined) largest[1] = largest[1].plus(one.minus(sum));
  return Object.fromEntries(rounded.map(([key, fraction]) => [key, plain(fraction)]));
}

const uncertain = (parts: ReadonlyMap<string, Decimal | null>): Pick<Lot, 'uncertainty'> => {
  const told = [...parts].flatMap(([key, u]) =>
    u === null || u.isZero() ? [] : [[key, plain(u.toDecimalPlaces(DECIMALS))] as const],
  );
  return told.length === 0 ? {} : { uncertainty: Object.fromEntries(told) };
};

/** A material at `fraction` in something else: an error of its share is one of the rest, with the other sign. */
function within(material: string, fraction: Decimal, u: Decimal | null, rest: Lot['composition']): Composed {
  const others = Object.entries(rest).filter(([key]) => key !== material);
  const own = new Decimal(rest[material] ?? 0);
  const values = new Map([[material, fraction.plus(one.minus(fraction).times(own))]]);
  const errors = new Map<string, Decimal | null>([[material, u?.times(one.minus(own)) ?? null]]);
  for (const [key, share] of others) {
    values.set(key, one.minus(fraction).times(share));
    errors.set(key, u?.times(share) ?? null);
  }
  return { composition: whole(values), ...uncertain(errors) };
}

/**
 * Composition and uncertainty of a lot from what a person tells of it: exactly one in sum.
 * @throws RangeError when the parts do not add up to one within a millionth, or a material stands there twice
 */
export function composed(contents: Contents): Composed {
  switch (contents.kind) {
    case 'neat':
      return { composition: { [contents.material]: '1' } };
    case 'purity':
      return within(contents.material, contents.fraction, contents.u, { [UNDECLARED]: '1' });
    case 'dilution':
      return within(contents.material, contents.fraction, contents.u, contents.solvent);
    case 'composition': {
      const parts = new Map(contents.parts.map(({ material, fraction }) => [material, fraction]));
      if (parts.size < contents.parts.length) throw new RangeError('a material stands there twice');
      const sum = [...parts.values()].reduce((total, fraction) => total.plus(fraction), new Decimal(0));
      if (sum.minus(1).abs().gt('0.000001'))
        throw new RangeError(`the parts add up to ${plain(sum.times(100))} %, not to 100 %`);
      return {
        composition: whole(parts),
        ...uncertain(new Map(contents.parts.map(({ material, u }) => [material, u]))),
      };
    }
  }
}
