import { Decimal, type DecimalText, decimal, decimalsOf, fixed, plain } from '../quantity/decimal.ts';
import {
  type BalanceClass,
  balanceError,
  IN_SERVICE,
  type WeightClass,
  weightError,
} from '../quantity/standards.ts';
import { standardDeviation } from '../quantity/statistics.ts';

/** What is known of a balance that is checked. Masses in g; `e` and its class stand on the plate, where it has one. */
export interface CheckedBalance {
  readonly d: DecimalText;
  readonly capacity: DecimalText;
  readonly e: DecimalText | null;
  readonly balanceClass: BalanceClass | null;
}

/** Weights that stand on the pan together; a nominal value each, g, all of one class. */
export interface Weights {
  readonly parts: readonly DecimalText[];
  readonly weightClass: WeightClass;
}

export type CheckVerdict = 'pass' | 'doubtful' | 'fail';

/** Interval and class by which a balance is judged, and what had to be assumed. */
export interface Allowed {
  readonly e: DecimalText;
  readonly balanceClass: BalanceClass;
  readonly assumed: readonly string[];
}

/** More intervals than this has only class I; from e = 0.1 g, class II has no fewer than the second. */
const MOST_OF_II = 100_000;
const LEAST_OF_II = 5000;
/** Up to this interval, g, class II may have few intervals too. */
const FINE_E = 0.05;

/** The strictest class that may have so many intervals. */
function classFor(e: DecimalText, capacity: DecimalText): BalanceClass {
  const n = Number(capacity) / Number(e);
  if (n > MOST_OF_II) return 'I';
  return Number(e) <= FINE_E || n >= LEAST_OF_II ? 'II' : 'III';
}

/**
 * By which interval and class a balance is judged. Where e is not known it is taken as d, the strictest reading; where
 * the class is not known, as the strictest that the table of classes has for so many intervals (OIML R 76-1, table 3).
 */
export function allowedFor({ d, capacity, e, balanceClass }: CheckedBalance): Allowed {
  const interval = e ?? d;
  const name = balanceClass ?? classFor(interval, capacity);
  return {
    e: interval,
    balanceClass: name,
    assumed: [
      ...(e === null ? [`e is not known and is taken as d = ${d} g, the strictest reading`] : []),
      ...(balanceClass === null
        ? [
            `the class is not known and is taken as ${name}, the strictest for ${capacity} g in steps of ${interval} g`,
          ]
        : []),
    ],
  };
}

/**
 * What a balance in service may be off at a load in g: twice the error at verification (OIML R 76-1, table 6 and 3.5.2).
 * @throws RangeError for a load beyond what its class may have
 */
export function limitAt(load: Decimal, balance: CheckedBalance): Decimal {
  const { e, balanceClass } = allowedFor(balance);
  return new Decimal(balanceError(load.abs().toNumber(), Number(e), balanceClass)).times(IN_SERVICE);
}

/** How the limit of a load is told. */
export function limitRule(load: Decimal, balance: CheckedBalance): string {
  const { e, balanceClass, assumed } = allowedFor(balance);
  const said = assumed.length === 0 ? '' : ` Assumed: ${assumed.join('; ')}.`;
  return `OIML R 76-1, table 6: at ${plain(load)} g a balance of class ${balanceClass} with e = ${e} g may be off by ± ${plain(limitAt(load, balance).div(IN_SERVICE))} g at verification, and by twice that in service.${said}`;
}

/** Sum of nominal values, g. */
export const nominalOf = ({ parts }: Weights): Decimal =>
  parts.reduce((sum, part) => sum.plus(decimal(part)), new Decimal(0));

/**
 * What weights may be off together, g: the sum of what each may (OIML R 111-1, table 1).
 * @throws RangeError for a nominal value that is not in the table, or a class that is not defined for it
 */
export const weightLimit = ({ parts, weightClass }: Weights): Decimal =>
  parts.reduce((sum, part) => sum.plus(weightError(Number(part), weightClass)), new Decimal(0)).div(1000);

/** Weights as they are named: "100 g, class F2". */
export const weightsText = ({ parts, weightClass }: Weights): string =>
  `${parts.join(' + ')} g, class ${weightClass}`;

/** How much a weight may be off against what the balance may (OIML R 76-1, 3.7.1, as recalled; USP <41> asks the same). */
const FINE_ENOUGH = 3;

export interface Judged {
  readonly verdict: CheckVerdict;
  readonly nominal: Decimal;
  readonly error: Decimal;
  readonly limit: Decimal;
  readonly weightLimit: Decimal;
  /** The weight is good enough to judge this balance. */
  readonly fine: boolean;
}

/**
 * One load of check weights against what the balance may be off. A weight whose own error may be above a third of that
 * limit is too coarse to tell: the verdict is then "doubtful", or "fail" where even a weight off by all it may does not
 * explain the figure.
 * @param net what the balance showed with the weights on, less what it showed empty, g
 */
export function judge(net: Decimal, weights: Weights, balance: CheckedBalance): Judged {
  const nominal = nominalOf(weights);
  const error = net.minus(nominal);
  const limit = limitAt(nominal, balance);
  const own = weightLimit(weights);
  const fine = own.times(FINE_ENOUGH).lte(limit);
  const off = error.abs();
  const verdict = fine ? (off.lte(limit) ? 'pass' : 'fail') : off.gt(limit.plus(own)) ? 'fail' : 'doubtful';
  return { verdict, nominal, error, limit, weightLimit: own, fine };
}

/** How a check weight was judged, in a sentence with its figures. */
export function weightRule(weights: Weights, { limit, weightLimit: own, fine }: Judged): string {
  const ratio = `OIML R 111-1, table 1: ${weightsText(weights)} may itself be off by ± ${plain(own)} g`;
  return fine
    ? `${ratio}, no more than a third of ± ${plain(limit)} g: fine enough to judge this balance (R 76-1, 3.7.1, as recalled; USP <41> asks the same).`
    : `${ratio}, more than a third of ± ${plain(limit)} g: too coarse to judge this balance (R 76-1, 3.7.1, as recalled). It is doubtful up to the sum of both, and fails beyond.`;
}

/** Standard deviation of repeated nets and how well so few tell it: u(s) = s / sqrt(2 (n - 1)) (JCGM 100, E.4.3, from memory). */
export interface MeasuredS {
  readonly s: Decimal;
  readonly u: Decimal;
  readonly n: number;
  /** max - min of the nets. */
  readonly range: Decimal;
}

/** @throws RangeError for fewer than two nets */
export function measuredS(nets: readonly Decimal[]): MeasuredS {
  const s = standardDeviation(nets);
  const range = Decimal.max(...nets).minus(Decimal.min(...nets));
  return { s, u: s.div(new Decimal(2 * (nets.length - 1)).sqrt()), n: nets.length, range };
}

/** The worst of several verdicts; pass where there is none. */
export const worst = (verdicts: readonly CheckVerdict[]): CheckVerdict =>
  verdicts.includes('fail') ? 'fail' : verdicts.includes('doubtful') ? 'doubtful' : 'pass';

/** Writes a mass with the digits of the balance. */
export const shownMass = (mass: Decimal, d: DecimalText): DecimalText => fixed(mass, decimalsOf(d));

/** The same with its sign. */
export const signedMass = (mass: Decimal, d: DecimalText): string =>
  `${mass.gt(0) ? '+' : ''}${shownMass(mass, d)}`;
