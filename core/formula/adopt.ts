import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import type { Formula } from './types.ts';
import { percentOf, type WrittenFormula, type WrittenLine } from './written.ts';

/** What is in the vessel of one material: its mass fraction as made. */
export interface MadeShare {
  readonly material: string;
  readonly kind: 'neat' | 'solvent';
  readonly fraction: DecimalText;
}

/** Decimals of an adopted fraction: finer than any balance tells. */
const DECIMALS = 8;
const ZERO = new Decimal(0);
const ONE = new Decimal(1);

/** A formula without a q.s. line must add up: what rounding left over goes to its largest line. */
function adjusted(shares: ReadonlyMap<string, Decimal>): Map<string, Decimal> {
  const sum = [...shares.values()].reduce((all, one) => all.plus(one), ZERO);
  const [largest] = [...shares].sort(([, a], [, b]) => b.cmp(a));
  const result = new Map(shares);
  if (largest !== undefined) result.set(largest[0], largest[1].plus(ONE.minus(sum)));
  return result;
}

/**
 * The formula that a batch was, as it would be written: every neat material with its fraction as made. What filled to
 * the total fills again; solvents that only came with bottles are left to it. Materials that were poured beside the
 * formula become lines, those that were left out go.
 * @param poured the formula that the batch was poured by
 * @param more name, batch size and tolerance of the formula as it stands
 */
export function adopted(
  poured: Formula,
  made: readonly MadeShare[],
  more: Pick<WrittenFormula, 'name' | 'batch' | 'tolerance'>,
): WrittenFormula {
  const fill = poured.lines.find((line) => line.qs === true);
  const stated = new Set(poured.lines.map((line) => line.material));
  const kept = made.filter(
    ({ material, kind }) =>
      material !== fill?.material && (fill === undefined || kind === 'neat' || stated.has(material)),
  );
  const rounded = kept.map(
    ({ material, fraction }) => [material, decimal(fraction).toDecimalPlaces(DECIMALS)] as const,
  );
  const present = new Map(rounded.filter(([, fraction]) => fraction.gt(0)));
  const shares = fill === undefined ? adjusted(present) : present;
  const ids = new Map<string, string>();
  for (const line of poured.lines) if (!ids.has(line.material)) ids.set(line.material, line.id);
  const line = (material: string): WrittenLine => ({
    id: ids.get(material) ?? `made.${material}`,
    of: { material },
    amount: { figure: percentOf(plain(shares.get(material) ?? ZERO)), unit: 'percent' },
  });
  const before = [...ids.keys()].filter((material) => shares.has(material));
  const beside = [...shares.keys()].filter((material) => !ids.has(material));
  return {
    id: poured.id,
    ...more,
    lines: [
      ...[...before, ...beside].map(line),
      ...(fill === undefined ? [] : [{ id: fill.id, of: { material: fill.material }, qs: true as const }]),
    ],
  };
}
