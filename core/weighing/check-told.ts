import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import {
  allowedFor,
  type CheckedBalance,
  judge,
  limitRule,
  nominalOf,
  type Weights,
  weightRule,
} from './check-rules.ts';
import type { CheckOrder } from './check-steps.ts';

/** The published rules as they are told, before a check with what was ordered and after it with what was found. */

const withLimit = (rule: string, load: Decimal | null, balance: CheckedBalance): string =>
  load === null ? rule : `${rule} ${limitRule(load, balance)}`;

/** Back at zero after a load. */
const backRule = (d: DecimalText): string =>
  `Back to zero within one step, ${d} g. OIML R 76-1, 3.9.4.2 (a value from memory), asks for half an e after half an hour under load; half a step cannot be seen.`;

/** Repeatability; `load` null while it is not known. */
export const repeatsRule = (load: Decimal | null, balance: CheckedBalance): string =>
  withLimit(
    'OIML R 76-1, 3.6.1: the results of several weighings of one load differ by no more than the error allowed for it.',
    load,
    balance,
  );

/** Eccentricity; `load` null while it is not known. */
export const placesRules = (load: Decimal | null, balance: CheckedBalance): string[] => [
  withLimit(
    'OIML R 76-1, 3.6.2: a load of about a third of the capacity shows within the error allowed for it wherever it stands. Here each place is compared with the middle.',
    load,
    balance,
  ),
  backRule(balance.d),
];

/** Linearity, with what is said of every weight that is too coarse. */
export const linearRules = (loads: readonly Weights[], balance: CheckedBalance): string[] => [
  'OIML R 76-1, table 6, at each load, in service twice the error at verification. The chart follows the load whose error is the largest share of its limit.',
  ...loads.flatMap((weights) => {
    const exact = judge(nominalOf(weights), weights, balance);
    return exact.fine ? [] : [weightRule(weights, exact)];
  }),
  ...allowedFor(balance).assumed.map((one) => `Assumed: ${one}.`),
  backRule(balance.d),
];

/** How far a figure may walk under a load that stays, g: half an e, and no less than one step. */
export const driftLimit = (balance: CheckedBalance): Decimal =>
  Decimal.max(decimal(allowedFor(balance).e).div(2), balance.d);

export const driftRule = (minutes: number, balance: CheckedBalance): string =>
  `OIML R 76-1, 3.9.4.1 (a value from memory): under a load that stays, what is shown changes by no more than 0.5 e in 30 minutes. Here over ${minutes} minutes, and by no less than one step, for half a step cannot be seen: ${plain(driftLimit(balance))} g.`;

/** The least drop that may be counted by its step, g. */
export const leastDrop = (d: DecimalText): Decimal => decimal(d).times(2);

export const dropRules = (d: DecimalText): string[] => [
  `A drop of at least two steps, ${plain(leastDrop(d))} g, may be counted by its step (common practice, no source); a smaller one is told as a mass only.`,
  'Steps are counted where the reading pauses; each pause is the base of the next.',
];

/** What one load of check weights is held against. */
export const dailyRules = (weights: Weights, net: Decimal, balance: CheckedBalance): string[] => {
  const found = judge(net, weights, balance);
  return [limitRule(found.nominal, balance), weightRule(weights, found), backRule(balance.d)];
};

/** The rules a check will be held against, told while it is made. @throws RangeError as `expectOrder` does */
export function rulesFor(order: CheckOrder, balance: CheckedBalance): readonly string[] {
  const load = 'load' in order && order.load !== null ? decimal(order.load) : null;
  switch (order.kind) {
    case 'daily':
      return dailyRules(order.weights, nominalOf(order.weights), balance);
    case 'repeatability':
      return [repeatsRule(load, balance)];
    case 'eccentricity':
      return placesRules(load, balance);
    case 'linearity':
      return linearRules(order.loads, balance);
    case 'drift':
      return [driftRule(order.minutes, balance)];
    case 'drops':
      return dropRules(balance.d);
  }
}
