import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import type { FormulaLine, Lot } from './types.ts';

/** An accord that is poured from a bottle of it: so much of the whole, from this lot. */
export interface FromBottle {
  readonly line: string;
  readonly lot: Lot;
  readonly share: Decimal;
}

const ZERO = new Decimal(0);
const DECIMALS = 20;

interface Bottle extends FromBottle {
  /** What it brings in of each material, as fractions of the whole; the filling material left out. */
  readonly brings: ReadonlyMap<string, Decimal>;
  /** The material that its mass is reckoned by. */
  readonly by: string;
}

/**
 * The material a bottle is reckoned by: one that nothing else brings, where there is one; of these, what it holds most
 * of. The mass comes out the same by any.
 */
function byWhat(brings: ReadonlyMap<string, Decimal>, elsewhere: ReadonlySet<string>): string {
  const sorted = [...brings].sort(([, a], [, b]) => b.cmp(a));
  const [best] = [...sorted.filter(([key]) => !elsewhere.has(key)), ...sorted];
  return best?.[0] ?? '';
}

function readBottles(
  lines: readonly FormulaLine[],
  bottles: readonly FromBottle[],
  fill: string | null,
  isSolvent: (material: string) => boolean,
): Bottle[] {
  const own = lines.map((line) => line.material);
  // Solvent that no line states is part of what fills to the whole.
  const filled = (key: string) => key === fill || (fill !== null && isSolvent(key) && !own.includes(key));
  const all = bottles.map(({ lot, share }) => {
    const parts = Object.entries(lot.composition).map(
      ([key, fraction]) => [key, decimal(fraction).times(share)] as const,
    );
    return new Map(parts.filter(([key, fraction]) => !filled(key) && !fraction.isZero()));
  });
  return bottles.map((bottle, at) => {
    const brings = all[at] ?? new Map<string, Decimal>();
    const others = all.flatMap((one, other) => (other === at ? [] : [...one.keys()]));
    return { ...bottle, brings, by: byWhat(brings, new Set([...own, ...others])) };
  });
}

/** Accord lines that are poured from one bottle are one pour. */
function joined(bottles: readonly FromBottle[]): FromBottle[] {
  const byLot = new Map<string, FromBottle>();
  for (const one of bottles) {
    const there = byLot.get(one.lot.code);
    byLot.set(one.lot.code, there === undefined ? one : { ...there, share: there.share.plus(one.share) });
  }
  return [...byLot.values()];
}

/**
 * Lines of a formula with accords poured from their bottles. Each bottle has a line by which its mass is reckoned; of
 * the other materials that it carries, the line that states them asks for so much more, so that what the bottle brings
 * comes on top of what is poured beside it. What nothing states becomes a further line from the same bottle.
 */
export function linesOfBottles(
  lines: readonly FormulaLine[],
  bottles: readonly FromBottle[],
  fill: string | null,
  isSolvent: (material: string) => boolean,
): FormulaLine[] {
  const read = readBottles(lines, joined(bottles), fill, isSolvent);
  const result = new Map(lines.map((line) => [line.id, { ...line }]));
  const ownOf = new Map<string, string>();
  for (const line of lines) if (!ownOf.has(line.material)) ownOf.set(line.material, line.id);
  const mains = new Map<string, string>();
  for (const { line, lot, by, brings } of read) {
    const id = `${line}.${by}`;
    result.set(id, { id, material: by, fraction: plain(places(brings.get(by))), lot: lot.code });
    if (!mains.has(by)) mains.set(by, id);
  }
  for (const { line, lot, by, brings } of read)
    for (const [material, fraction] of brings) {
      if (material === by) continue;
      const there = result.get(ownOf.get(material) ?? mains.get(material) ?? '');
      if (there !== undefined) {
        there.fraction = plain(places(decimal(there.fraction ?? '0').plus(fraction)));
        continue;
      }
      const id = `${line}.${material}`;
      result.set(id, { id, material, fraction: plain(places(fraction)), lot: lot.code });
      mains.set(material, id);
    }
  return [...result.values()];
}

const places = (value: Decimal | undefined): Decimal => (value ?? ZERO).toDecimalPlaces(DECIMALS);
