import { Decimal } from '../quantity/decimal.ts';

/** One linear equation with few terms: the sum of coefficient times unknown is `right`. */
export interface Equation {
  readonly terms: readonly { readonly unknown: number; readonly coefficient: Decimal }[];
  readonly right: Decimal;
}

/** The coefficient of a plain sum; what it multiplies is taken as it is. */
export const ONE = new Decimal(1);

/** Relative size of a pivot under which equations are taken to say the same thing twice. */
const SAME = 1e-11;

/** Residual, relative to the largest right side, at which a solution is exact enough. */
const EXACT = new Decimal('1e-28');
const MOST_ROUNDS = 40;

interface Factors {
  /** Rows of L and U together, in the order of the pivots. */
  readonly rows: Float64Array[];
  /** Which equation stands in which row. */
  readonly order: number[];
}

/** Gaussian elimination with scaled row pivoting, in floating point. Null where a pivot vanishes. */
function factor(matrix: Float64Array[]): Factors | null {
  const rows = matrix.map((row) => row.slice());
  const size = rows.length;
  const order = rows.map((_, at) => at);
  const scale = rows.map((row) => row.reduce((most, value) => Math.max(most, Math.abs(value)), 0));
  const weight = (at: number, column: number) =>
    Math.abs(rows[at]?.[column] ?? 0) / (scale[order[at] ?? 0] || 1);
  for (let column = 0; column < size; column++) {
    let best = column;
    for (let at = column + 1; at < size; at++) if (weight(at, column) > weight(best, column)) best = at;
    const pivotRow = rows[best];
    const topRow = rows[column];
    if (pivotRow === undefined || topRow === undefined || weight(best, column) < SAME) return null;
    [rows[column], rows[best]] = [pivotRow, topRow];
    [order[column], order[best]] = [order[best] ?? best, order[column] ?? column];
    const pivot = pivotRow[column] ?? 1;
    for (let at = column + 1; at < size; at++) {
      const row = rows[at];
      const head = row?.[column] ?? 0;
      if (row === undefined || head === 0) continue;
      const times = head / pivot;
      row[column] = times;
      for (let next = column + 1; next < size; next++)
        row[next] = (row[next] ?? 0) - times * (pivotRow[next] ?? 0);
    }
  }
  return { rows, order };
}

/** Solves with factors made before: forward, then back. */
function backSolve({ rows, order }: Factors, right: Float64Array): Float64Array {
  const size = rows.length;
  const found = new Float64Array(size);
  for (let at = 0; at < size; at++) {
    let value = right[order[at] ?? at] ?? 0;
    for (let before = 0; before < at; before++) value -= (rows[at]?.[before] ?? 0) * (found[before] ?? 0);
    found[at] = value;
  }
  for (let at = size - 1; at >= 0; at--) {
    let value = found[at] ?? 0;
    for (let after = at + 1; after < size; after++) value -= (rows[at]?.[after] ?? 0) * (found[after] ?? 0);
    found[at] = value / (rows[at]?.[at] ?? 1);
  }
  return found;
}

/**
 * Solves a block of equations that hang together: floating point gives the factors, and what is left over in decimal
 * is solved again and added until it vanishes, so that the solution has decimal digits at the cost of floating point.
 * `unknowns` names the unknowns of the block, in the order of the answer. Null when they are not determined.
 */
export function eliminate(equations: readonly Equation[], unknowns: readonly number[]): Decimal[] | null {
  const place = new Map(unknowns.map((unknown, at) => [unknown, at]));
  const matrix = equations.map(({ terms }) => {
    const row = new Float64Array(unknowns.length);
    for (const { unknown, coefficient } of terms) row[place.get(unknown) ?? 0] = coefficient.toNumber();
    return row;
  });
  const factors = factor(matrix);
  if (factors === null) return null;
  const largest = equations.reduce((most, { right }) => Decimal.max(most, right.abs()), new Decimal(0));
  if (largest.isZero()) return unknowns.map(() => new Decimal(0));
  let found = unknowns.map(() => new Decimal(0));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const now = found;
    const residuals = equations.map(({ terms, right }) =>
      terms.reduce(
        (rest, { unknown, coefficient }) =>
          rest.minus(coefficient.times(now[place.get(unknown) ?? 0] ?? new Decimal(0))),
        right,
      ),
    );
    const worst = residuals.reduce((most, one) => Decimal.max(most, one.abs()), new Decimal(0));
    if (worst.lte(EXACT.times(largest))) return found;
    const step = backSolve(
      factors,
      Float64Array.from(residuals, (one) => one.div(worst).toNumber()),
    );
    found = now.map((value, at) => value.plus(worst.times(new Decimal(step[at] ?? 0))));
  }
  return null;
}
