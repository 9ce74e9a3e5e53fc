/**
 * Tables of legal metrology for checking a balance: errors that are allowed to weights (OIML R 111-1:2004, table 1) and
 * to balances (OIML R 76-1:2006, tables 3 and 6). Errors are plus or minus.
 */

export const WEIGHT_CLASSES = ['E1', 'E2', 'F1', 'F2', 'M1', 'M2', 'M3'] as const;
export type WeightClass = (typeof WEIGHT_CLASSES)[number];

/** Nominal value in g, then the maximum permissible error in mg of each class; null where the class is not defined. */
const WEIGHT_ERRORS: readonly (readonly [number, readonly (number | null)[]])[] = [
  [0.001, [0.003, 0.006, 0.02, 0.06, 0.2, null, null]],
  [0.002, [0.003, 0.006, 0.02, 0.06, 0.2, null, null]],
  [0.005, [0.003, 0.006, 0.02, 0.06, 0.2, null, null]],
  [0.01, [0.003, 0.008, 0.025, 0.08, 0.25, null, null]],
  [0.02, [0.003, 0.01, 0.03, 0.1, 0.3, null, null]],
  [0.05, [0.004, 0.012, 0.04, 0.12, 0.4, null, null]],
  [0.1, [0.005, 0.016, 0.05, 0.16, 0.5, 1.6, null]],
  [0.2, [0.006, 0.02, 0.06, 0.2, 0.6, 2, null]],
  [0.5, [0.008, 0.025, 0.08, 0.25, 0.8, 2.5, null]],
  [1, [0.01, 0.03, 0.1, 0.3, 1, 3, 10]],
  [2, [0.012, 0.04, 0.12, 0.4, 1.2, 4, 12]],
  [5, [0.016, 0.05, 0.16, 0.5, 1.6, 5, 16]],
  [10, [0.02, 0.06, 0.2, 0.6, 2, 6, 20]],
  [20, [0.025, 0.08, 0.25, 0.8, 2.5, 8, 25]],
  [50, [0.03, 0.1, 0.3, 1, 3, 10, 30]],
  [100, [0.05, 0.16, 0.5, 1.6, 5, 16, 50]],
  [200, [0.1, 0.3, 1, 3, 10, 30, 100]],
  [500, [0.25, 0.8, 2.5, 8, 25, 80, 250]],
];

/**
 * Maximum permissible error in mg of a check weight of `nominal` g.
 * @throws RangeError for a nominal value that is not in the table (1 mg to 500 g in steps of 1, 2, 5) or has no such class
 */
export function weightError(nominal: number, weightClass: WeightClass): number {
  const row = WEIGHT_ERRORS.find(([mass]) => mass === nominal);
  if (row === undefined)
    throw new RangeError(`a check weight of ${nominal} g is not in the table of weights`);
  const error = row[1][WEIGHT_CLASSES.indexOf(weightClass)] ?? null;
  if (error === null) throw new RangeError(`class ${weightClass} is not defined for ${nominal} g`);
  return error;
}

export type BalanceClass = 'I' | 'II' | 'III' | 'IIII';

/** Loads, in verification intervals, up to which the error is 0.5 e and 1 e; above, up to the last, 1.5 e. */
const BALANCE_BANDS: Readonly<Record<BalanceClass, readonly [number, number, number]>> = {
  I: [50_000, 200_000, Number.POSITIVE_INFINITY],
  II: [5_000, 20_000, 100_000],
  III: [500, 2_000, 10_000],
  IIII: [50, 200, 1_000],
};

/**
 * Maximum permissible error in g of a balance at a load in g, at verification; in service it is twice that.
 * @param e verification interval in g
 * @throws RangeError for a load below zero or beyond what the class may have
 */
export function balanceError(load: number, e: number, balanceClass: BalanceClass): number {
  const bands = BALANCE_BANDS[balanceClass];
  const intervals = Math.round((load / e) * 1e6) / 1e6;
  const band = bands.findIndex((most) => intervals <= most);
  if (!(load >= 0 && e > 0) || band < 0)
    throw new RangeError(`a load of ${load} g is outside class ${balanceClass} with e = ${e} g`);
  return 0.5 * (band + 1) * e;
}

/** In service the errors of a balance may be twice those at verification (R 76-1, 3.5.2). */
export const IN_SERVICE = 2;

interface ClassRow {
  readonly class: BalanceClass;
  readonly eMin: number;
  readonly eMax: number;
  readonly minimum: number;
}

/** Classes by verification interval in g, and the least load in intervals. */
const CLASS_ROWS: readonly ClassRow[] = [
  { class: 'I', eMin: 0.001, eMax: Number.POSITIVE_INFINITY, minimum: 100 },
  { class: 'II', eMin: 0.001, eMax: 0.05, minimum: 20 },
  { class: 'II', eMin: 0.1, eMax: Number.POSITIVE_INFINITY, minimum: 50 },
  { class: 'III', eMin: 0.1, eMax: 2, minimum: 20 },
  { class: 'III', eMin: 5, eMax: Number.POSITIVE_INFINITY, minimum: 20 },
  { class: 'IIII', eMin: 5, eMax: Number.POSITIVE_INFINITY, minimum: 10 },
];

/**
 * Least load in g at which a balance of a class may be used.
 * @param step what is counted: e, or d where an auxiliary digit is shown
 * @throws RangeError when the class does not know the interval e
 */
export function leastLoad(balanceClass: BalanceClass, e: number, step = e): number {
  const row = CLASS_ROWS.find((one) => one.class === balanceClass && e >= one.eMin && e <= one.eMax);
  if (row === undefined) throw new RangeError(`class ${balanceClass} knows no interval e = ${e} g`);
  return row.minimum * step;
}
