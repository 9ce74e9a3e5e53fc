import { Decimal } from '../quantity/decimal.ts';

/** A planned line: target and half of its window in g, and the mass fraction of neat material in its lot. */
export interface WindowedLine {
  readonly target: Decimal;
  readonly half: Decimal;
  readonly neat: Decimal;
}

const sumOf = (values: readonly Decimal[]): Decimal =>
  values.reduce((sum, value) => sum.plus(value), new Decimal(0));

/**
 * The lowest and the highest strength that a batch can have with every line inside its window, as mass fractions; null
 * when nothing was planned. The strength, sum of m w over sum of m, rises with a line stronger than it and falls with
 * one weaker: at its highest the strongest lines lie at the top of their windows and all others at the bottom, and at
 * its lowest the other way round. How many are the strongest is tried.
 */
export function strengthWindow(lines: readonly WindowedLine[]): { low: Decimal; high: Decimal } | null {
  const byStrength = [...lines].sort((a, b) => a.neat.comparedTo(b.neat));
  const strengthAt = (masses: readonly Decimal[]): Decimal | null => {
    const total = sumOf(masses);
    return total.gt(0) ? sumOf(byStrength.map(({ neat }, i) => neat.times(masses[i] ?? 0))).div(total) : null;
  };
  const bottom = byStrength.map(({ target, half }) => Decimal.max(target.minus(half), 0));
  const top = byStrength.map(({ target, half }) => target.plus(half));
  const found = [...byStrength, null].flatMap((_, weak) => [
    strengthAt([...bottom.slice(0, weak), ...top.slice(weak)]),
    strengthAt([...top.slice(0, weak), ...bottom.slice(weak)]),
  ]);
  const strengths = found.filter((one) => one !== null);
  if (strengths.length === 0) return null;
  return { low: Decimal.min(...strengths), high: Decimal.max(...strengths) };
}
