import { Decimal, fixed } from '../quantity/decimal.ts';
import type { CorrectionLine, CorrectionRules } from './correction.ts';
import type { CorrectionLimit } from './correction-limits.ts';

/** Beginning the batch anew in a clean vessel. Masses in g. */
export interface StartAgain {
  /** What is thrown away, and its price; null when a price is not known. */
  readonly discarded: Decimal;
  readonly lost: Decimal | null;
  /** The planned batch, poured anew. */
  readonly total: Decimal;
  /** Bottles that do not hold enough for it, after what was taken from them. */
  readonly limits: readonly CorrectionLimit[];
}

const zero = new Decimal(0);

interface Drawn {
  readonly line: CorrectionLine;
  readonly stock: Decimal;
  readonly taken: Decimal;
  readonly needed: Decimal;
}

/** What each bottle gave and has to give again; lines of one lot together. */
function drawnFrom(lines: readonly CorrectionLine[], planned: readonly Decimal[]): Drawn[] {
  const bottles = new Map<string, Drawn>();
  for (const [i, line] of lines.entries()) {
    if (line.stock === null) continue;
    const key = line.lot === undefined ? `line ${line.id}` : `lot ${line.lot}`;
    const before = bottles.get(key);
    bottles.set(key, {
      line,
      stock: line.stock,
      taken: (before?.taken ?? zero).plus(line.poured),
      needed: (before?.needed ?? zero).plus(planned[i] ?? zero),
    });
  }
  return [...bottles.values()];
}

/**
 * What it costs to start again.
 * @param planned target of each line as first planned, in the order of the lines
 */
export function startAgain(
  lines: readonly CorrectionLine[],
  planned: readonly Decimal[],
  rules: CorrectionRules,
): StartAgain {
  const shown = (mass: Decimal): string => fixed(mass, Math.max(2, rules.d.decimalPlaces()));
  const sum = (masses: readonly Decimal[]): Decimal => masses.reduce((total, mass) => total.plus(mass), zero);
  const poured = lines.filter((line) => line.poured.gt(0));
  const prices = poured.map((line) => line.price?.times(line.poured) ?? null);
  const known = prices.filter((price) => price !== null);
  return {
    discarded: sum(poured.map((line) => line.poured)),
    lost: known.length === prices.length ? sum(known) : null,
    total: sum(planned),
    limits: drawnFrom(lines, planned)
      .filter(({ stock, taken, needed }) => stock.minus(taken).lt(needed))
      .map(({ line, stock, taken, needed }) => ({
        what: 'lot' as const,
        line: line.id,
        text: `The bottle of ${line.title} has ${shown(stock.minus(taken))} g left; this needs ${shown(needed)} g.`,
      })),
  };
}
