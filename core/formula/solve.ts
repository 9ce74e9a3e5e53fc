import { Decimal } from '../quantity/decimal.ts';
import { type Equation, eliminate, ONE } from './eliminate.ts';

const ZERO = new Decimal(0);

/**
 * Solves as many equations as unknowns. What follows one after the other is substituted (a bottle that alone carries a
 * material, then the solvents that are left over); only equations that hang together are eliminated, in floating point
 * with the residuals in decimal, until they vanish. Work grows with the number of terms, not with its cube.
 * @returns the unknowns, exact to 1e-25 of the largest right side; null when the equations do not determine them
 */
export function solve(equations: readonly Equation[], unknowns: number): Decimal[] | null {
  const found: (Decimal | undefined)[] = new Array(unknowns).fill(undefined);
  const left = substitute(equations, found);
  if (left.length > 0 || found.includes(undefined)) {
    const open = found.flatMap((value, unknown) => (value === undefined ? [unknown] : []));
    if (open.length !== left.length) return null;
    const block = eliminate(left, open);
    if (block === null) return null;
    for (const [at, unknown] of open.entries()) found[unknown] = block[at];
  }
  return found.map((value) => value ?? ZERO);
}

/** Solves every equation that has one unknown left, over and over. @returns the equations that still have several */
function substitute(equations: readonly Equation[], found: (Decimal | undefined)[]): Equation[] {
  const uses: { row: number; coefficient: Decimal }[][] = found.map(() => []);
  for (const [row, { terms }] of equations.entries())
    for (const { unknown, coefficient } of terms) uses[unknown]?.push({ row, coefficient });
  const rest = equations.map(({ right }) => right);
  const open = equations.map(({ terms }) => terms.length);
  const queue = open.flatMap((count, row) => (count === 1 ? [row] : []));
  const used = new Set<number>();
  for (let row = queue.pop(); row !== undefined; row = queue.pop()) {
    const term = equations[row]?.terms.find(({ unknown }) => found[unknown] === undefined);
    if (term === undefined) continue;
    used.add(row);
    const value = (rest[row] ?? ZERO).div(term.coefficient);
    found[term.unknown] = value;
    for (const use of uses[term.unknown] ?? []) {
      if (use.row === row) continue;
      const part = use.coefficient === ONE ? value : use.coefficient.times(value);
      rest[use.row] = (rest[use.row] ?? ZERO).minus(part);
      const count = (open[use.row] ?? 0) - 1;
      open[use.row] = count;
      if (count === 1) queue.push(use.row);
    }
  }
  return equations.flatMap(({ terms }, row) => {
    if (used.has(row)) return [];
    return [{ terms: terms.filter(({ unknown }) => found[unknown] === undefined), right: rest[row] ?? ZERO }];
  });
}
