import { lusolve } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { eliminate } from '../../core/formula/eliminate.ts';
import { solve } from '../../core/formula/solve.ts';
import { Decimal } from '../../core/quantity/decimal.ts';

/** Numbers that look random and are always the same: Park and Miller's minimal standard generator. */
function numbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** A square system: `fill` of the off-diagonal terms present, the diagonal always. */
function system(size: number, fill: number, seed: number): { matrix: number[][]; right: number[] } {
  const next = numbers(seed);
  const matrix = Array.from({ length: size }, (_, row) =>
    Array.from({ length: size }, (_, column) => {
      if (row !== column && next() > fill) return 0;
      return Math.round(next() * 1000) / 1000 + (row === column ? 1 : 0);
    }),
  );
  return { matrix, right: Array.from({ length: size }, () => Math.round(next() * 1e6) / 1000) };
}

const sparse = ({ matrix, right }: ReturnType<typeof system>) =>
  matrix.map((row, at) => ({
    terms: row.flatMap((value, unknown) =>
      value === 0 ? [] : [{ unknown, coefficient: new Decimal(value) }],
    ),
    right: new Decimal(right[at] ?? 0),
  }));

describe('linear equations against a general matrix library (mathjs lusolve)', () => {
  it.each([
    [1, 0, 1],
    [5, 0, 2],
    [20, 0.05, 3],
    [60, 0.02, 4],
    [12, 1, 5],
    [40, 0.5, 6],
    [80, 0.1, 7],
  ])('%d unknowns, %d of the terms present', (size, fill, seed) => {
    const one = system(size, fill, seed);
    const expected = (lusolve(one.matrix, one.right) as number[][]).map((row) => row[0] ?? Number.NaN);
    const found = solve(sparse(one), size);
    expect(found).not.toBeNull();
    const largest = Math.max(...expected.map(Math.abs), 1);
    for (const [at, value] of (found ?? []).entries())
      expect(Math.abs(value.toNumber() - (expected[at] ?? 0)) / largest).toBeLessThan(1e-9);
  });

  it('leaves no residual above 1e-25, which floating point could not', () => {
    const one = system(40, 0.6, 8);
    const equations = sparse(one);
    const found = solve(equations, 40) ?? [];
    for (const { terms, right } of equations) {
      const left = terms.reduce(
        (sum, { unknown, coefficient }) => sum.plus(coefficient.times(found[unknown] ?? Number.NaN)),
        new Decimal(0),
      );
      expect(left.minus(right).abs().lt('1e-22')).toBe(true);
    }
  });

  it('says when the equations do not determine the unknowns', () => {
    const twice = system(4, 1, 9);
    twice.matrix[3] = (twice.matrix[1] ?? []).map((value) => value * 2);
    expect(solve(sparse(twice), 4)).toBeNull();
    expect(eliminate(sparse(twice), [0, 1, 2, 3])).toBeNull();
    const single = [
      { terms: [{ unknown: 0, coefficient: new Decimal(1) }], right: new Decimal(1) },
      { terms: [{ unknown: 0, coefficient: new Decimal(1) }], right: new Decimal(2) },
    ];
    expect(solve(single, 2)).toBeNull();
  });

  it('solves equations whose order hides the pivots', () => {
    const matrix = [
      [0, 2, 1],
      [3, 0, 1],
      [1, 1, 0],
    ];
    const right = [7, 6, 4];
    const found = solve(sparse({ matrix, right }), 3)?.map((value) => value.toNumber());
    const expected = (lusolve(matrix, right) as number[][]).flat();
    for (const [at, value] of expected.entries()) expect(found?.[at]).toBeCloseTo(value, 12);
  });
});
