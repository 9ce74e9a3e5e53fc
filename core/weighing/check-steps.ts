import { type Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import {
  type CheckedBalance,
  limitAt,
  nominalOf,
  type Weights,
  weightLimit,
  weightsText,
} from './check-rules.ts';

/** What a check finds out: its kind, and what it is made with. */
export type CheckOrder =
  | { readonly kind: 'daily'; readonly weights: Weights }
  /** `load` is any steady object or weight, g; null where it is not known. */
  | { readonly kind: 'repeatability'; readonly load: DecimalText | null; readonly n: number }
  | { readonly kind: 'eccentricity'; readonly load: DecimalText | null }
  | { readonly kind: 'linearity'; readonly loads: readonly Weights[] }
  | { readonly kind: 'drift'; readonly load: DecimalText | null; readonly minutes: number }
  /** So many drops are let fall one at a time. */
  | { readonly kind: 'drops'; readonly count: number };

export type CheckKind = CheckOrder['kind'];

/** One figure that is taken: the pan empty, or with something on it. */
export interface Station {
  readonly pan: 'empty' | 'loaded';
  /** What should stand there, g; null where anything may. */
  readonly load: DecimalText | null;
  readonly label: string;
  /** What the person does. */
  readonly says: string;
  /** Taken by itself once it is watched at rest; else the person says so, for the program cannot see it. */
  readonly byItself: boolean;
  /** The same load as before at another place: something must have moved since. */
  readonly moved?: true;
}

/** A loaded pan shows at least so many steps more than an empty one. */
export const LOADED_STEPS = 10;
export const REPEATS = { least: 5, most: 10 } as const;
export const DRIFT_MINUTES = 10;
export const CORNERS = ['front left', 'front right', 'back right', 'back left'] as const;

const first: Station = {
  pan: 'empty',
  load: null,
  label: 'zero',
  says: 'Empty the pan. When it shows zero and rests, say so.',
  byItself: false,
};

const off = (label: string): Station => ({
  pan: 'empty',
  load: null,
  label,
  says: 'Take it off. Zero is taken by itself once it rests.',
  byItself: true,
});

const on = (load: DecimalText | null, label: string, what: string): Station => ({
  pan: 'loaded',
  load,
  label,
  says: `Put ${what} on the middle of the pan. It is taken by itself once it rests.`,
  byItself: true,
});

const grams = (load: DecimalText | null): string => (load === null ? 'a steady object' : `${load} g`);

function corner(place: string, load: DecimalText | null): Station {
  return {
    pan: 'loaded',
    load,
    label: place,
    says: `Move it to the ${place}. Half-way from the middle to the edge; when it rests there, say so.`,
    byItself: false,
    moved: true,
  };
}

/** Every figure that a check takes, in order. Drift and drops go on after them. */
export function stationsOf(order: CheckOrder): readonly Station[] {
  switch (order.kind) {
    case 'daily': {
      const load = plain(nominalOf(order.weights));
      return [first, on(load, 'weight on', weightsText(order.weights)), off('back to zero')];
    }
    case 'repeatability':
      return [
        first,
        ...Array.from({ length: order.n }, (_, i) => [
          on(order.load, `weighing ${i + 1}`, i === 0 ? grams(order.load) : 'the same'),
          off(`zero after ${i + 1}`),
        ]).flat(),
      ];
    case 'eccentricity':
      return [
        first,
        {
          ...on(order.load, 'centre', grams(order.load)),
          says: `Put ${grams(order.load)} on the middle of the pan. When it rests, say so.`,
          byItself: false,
        },
        ...CORNERS.map((place) => corner(place, order.load)),
        off('back to zero'),
      ];
    case 'linearity':
      return [
        first,
        ...order.loads.flatMap((weights) => {
          const load = plain(nominalOf(weights));
          return [on(load, `${load} g`, weightsText(weights)), off(`zero after ${load} g`)];
        }),
      ];
    case 'drift':
      return [first, on(order.load, 'at the beginning', grams(order.load))];
    case 'drops':
      return [on(null, 'vessel', 'a vessel')];
  }
}

const within = (load: Decimal, balance: CheckedBalance): void => {
  if (!load.gt(0)) throw new RangeError('a load must be above 0 g');
  if (load.gt(balance.capacity))
    throw new RangeError(`${plain(load)} g is above the capacity of this balance, ${balance.capacity} g`);
  if (load.lt(decimal(balance.d).times(LOADED_STEPS)))
    throw new RangeError(
      `${plain(load)} g is less than ${LOADED_STEPS} steps of this balance, too little to tell from an empty pan`,
    );
  limitAt(load, balance);
};

const withinWeights = (weights: Weights, balance: CheckedBalance): void => {
  if (weights.parts.length === 0) throw new RangeError('name at least one check weight');
  weightLimit(weights);
  within(nominalOf(weights), balance);
};

const wholeWithin = (value: number, least: number, most: number, what: string): void => {
  if (!Number.isInteger(value) || value < least || value > most)
    throw new RangeError(`${what}: a whole number from ${least} to ${most}, not ${value}`);
};

/**
 * Looks whether a check can be made on this balance.
 * @throws RangeError that says what is wrong: a weight that is not in the table, a load beyond the balance, a count
 */
export function expectOrder(order: CheckOrder, balance: CheckedBalance): void {
  switch (order.kind) {
    case 'daily':
      withinWeights(order.weights, balance);
      break;
    case 'linearity':
      wholeWithin(order.loads.length, 2, 12, 'loads of a linearity check');
      for (const weights of order.loads) withinWeights(weights, balance);
      break;
    case 'drops':
      wholeWithin(order.count, 5, 30, 'drops');
      break;
    default:
      // A load that is not known may be any up to the capacity: there must be a limit for it.
      within(decimal(order.load ?? balance.capacity), balance);
      if (order.kind === 'repeatability') wholeWithin(order.n, REPEATS.least, REPEATS.most, 'weighings');
      if (order.kind === 'drift') wholeWithin(order.minutes, 1, 60, 'minutes');
  }
}
