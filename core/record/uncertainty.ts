import type { BalanceLimits, Lot } from '../formula/types.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';
import type { AsMade, AsMadeInput, NetPour } from './as-made.ts';
import { COVERAGE } from './propagation.ts';

/** One source of an uncertainty: the gross readings, the calibration of the balance, or the strength of one lot. */
export interface UncertaintySource {
  readonly kind: 'readings' | 'calibration' | 'lot';
  readonly lot: string | null;
  /** What it alone would give as a standard uncertainty, and its share of the whole variance, 0 to 1. */
  readonly u: Decimal;
  readonly share: Decimal;
}

export interface Uncertain {
  /** Standard uncertainty. */
  readonly u: Decimal;
  /** Expanded uncertainty, k = 2. */
  readonly expanded: Decimal;
  /** Sources of more than nothing, the largest first. */
  readonly sources: readonly UncertaintySource[];
}

export interface AsMadeUncertainty {
  readonly strength: Uncertain;
  /** Of each mass fraction, by material key. */
  readonly materials: ReadonlyMap<string, Uncertain>;
  /** Of the total, and of each line's poured mass, in g. */
  readonly total: Uncertain;
  readonly lines: ReadonlyMap<string, Uncertain>;
}

const zero = new Decimal(0);
const square = (value: Decimal): Decimal => value.times(value);

/**
 * Variance of one gross reading in g^2: half that of a net, u(net) = max(s, d / sqrt 6).
 * d / sqrt 6 is the rounding of two readings, each rectangular over +-d/2.
 */
export function readingVariance(limits: BalanceLimits): Decimal {
  const s = square(decimal(limits.s));
  const rounding = square(decimal(limits.d)).div(6);
  return (s.gt(rounding) ? s : rounding).div(2);
}

/** Whether a pour begins at the very gross reading that ended the one before it. */
const shares = (pour: NetPour, next: NetPour | undefined): boolean => next?.before.eq(pour.after) ?? false;

/**
 * Sum of squared sensitivities over the gross readings, for a result that moves by g(i) with net i.
 * A reading shared by two consecutive nets enters one with plus and the other with minus, (g_i - g_i+1)^2; one that is
 * not shared enters alone. The same as net variances 2 u(G)^2 with covariances -u(G)^2 between neighbours.
 */
function overReadings(pours: readonly NetPour[], g: (index: number) => Decimal): Decimal {
  let sum = zero;
  let carried: Decimal | null = null;
  for (const [i, pour] of pours.entries()) {
    const here = g(i);
    sum = sum.plus(square(carried === null ? here : carried.minus(here)));
    carried = shares(pour, pours[i + 1]) ? here : null;
    if (carried === null) sum = sum.plus(square(here));
  }
  return sum;
}

/** How many ends of nets are not shared with a neighbour, and where. */
interface Ends {
  readonly count: number;
  /** Unshared ends of each pour: 0, 1 or 2. */
  readonly of: readonly number[];
  /** Whether pour i shares its last reading with pour i + 1. */
  readonly joined: readonly boolean[];
}

function endsOf(pours: readonly NetPour[]): Ends {
  const joined = pours.map((pour, i) => shares(pour, pours[i + 1]));
  const of = pours.map((_, i) => (joined[i - 1] === true ? 0 : 1) + (joined[i] === true ? 0 : 1));
  return { count: of.reduce((sum, ends) => sum + ends, 0), of, joined };
}

/**
 * The same sum for a mass fraction, where g_i = (w_i - x) / A and most w_i are zero: `holds` are the pours with
 * w_i not zero, in order. Joined readings see only w_i - w_i+1, so x enters at the ends alone. Times A^2.
 */
function overReadingsSparse(holds: readonly [number, Decimal][], x: Decimal, ends: Ends): Decimal {
  const w = new Map(holds);
  let sum = square(x).times(ends.count);
  for (const [i, fraction] of holds) {
    const alone = ends.of[i] ?? 0;
    if (alone > 0) sum = sum.plus(fraction.times(fraction.minus(x.times(2))).times(alone));
    const next = w.get(i + 1);
    if (ends.joined[i] === true) sum = sum.plus(square(next === undefined ? fraction : fraction.minus(next)));
    if (ends.joined[i - 1] === true && !w.has(i - 1)) sum = sum.plus(square(fraction));
  }
  return sum;
}

/** An error of one lot: how far each material's fraction moves with it, and its standard uncertainty. */
interface LotError {
  readonly u: Decimal;
  readonly moves: ReadonlyMap<string, Decimal>;
}

/**
 * The errors of a lot, one for each material whose uncertainty is named, independent of each other. Fractions sum to
 * one: what a named fraction has too much, the solvents that are not named have too little, in their proportion.
 */
function lotErrors(lot: Lot, solvents: ReadonlySet<string>): LotError[] {
  const named = Object.entries(lot.uncertainty ?? {});
  const takers = Object.entries(lot.composition)
    .filter(([key]) => solvents.has(key) && lot.uncertainty?.[key] === undefined)
    .map(([key, text]) => [key, decimal(text)] as const);
  const room = takers.reduce((sum, [, fraction]) => sum.plus(fraction), zero);
  return named.map(([key, text]) => {
    const moves = new Map([[key, new Decimal(1)]]);
    if (!room.isZero()) for (const [taker, fraction] of takers) moves.set(taker, fraction.div(room).neg());
    return { u: decimal(text), moves };
  });
}

interface Part {
  readonly kind: UncertaintySource['kind'];
  readonly lot: string | null;
  readonly variance: Decimal;
}

function uncertain(parts: readonly Part[]): Uncertain {
  const variance = parts.reduce((sum, part) => sum.plus(part.variance), zero);
  const u = variance.sqrt();
  const sources = parts
    .filter((part) => !part.variance.isZero())
    .map(({ kind, lot, variance: own }) => ({ kind, lot, u: own.sqrt(), share: own.div(variance) }))
    .sort((a, b) => b.share.comparedTo(a.share));
  return { u, expanded: u.times(COVERAGE), sources };
}

/** Share of each lot in the batch, and what its errors do to each material. */
interface LotInBatch {
  readonly lot: string;
  readonly share: Decimal;
  readonly errors: readonly LotError[];
}

function lotsInBatch(input: AsMadeInput, made: AsMade): LotInBatch[] {
  const solvents = new Set(input.materials.filter(({ kind }) => kind === 'solvent').map(({ key }) => key));
  const lots = new Map(input.lots.map((lot) => [lot.code, lot]));
  return made.lots.flatMap(({ lot: code, mass }) => {
    const lot = lots.get(code);
    if (lot?.uncertainty === undefined) return [];
    return [{ lot: code, share: mass.div(made.total), errors: lotErrors(lot, solvents) }];
  });
}

/** Variance that a lot brings to the sum of the materials in `keys`: its errors do not know of each other. */
function lotVariance({ share, errors }: LotInBatch, keys: ReadonlySet<string>): Decimal {
  let variance = zero;
  for (const { u, moves } of errors) {
    let move = zero;
    for (const [key, by] of moves) if (keys.has(key)) move = move.plus(by);
    if (!move.isZero()) variance = variance.plus(square(move.times(u).times(share)));
  }
  return variance;
}

/** Lots that touch a material, so that a material need not ask all of them. */
function lotsByMaterial(lots: readonly LotInBatch[]): Map<string, LotInBatch[]> {
  const found = new Map<string, LotInBatch[]>();
  for (const lot of lots)
    for (const key of new Set(lot.errors.flatMap((error) => [...error.moves.keys()])))
      found.set(key, [...(found.get(key) ?? []), lot]);
  return found;
}

/** Pours that hold each material, in order, with its fraction there. */
function holdings(input: AsMadeInput): Map<string, [number, Decimal][]> {
  const fractions = new Map(
    input.lots.map((lot) => [
      lot.code,
      Object.entries(lot.composition).map(([k, w]) => [k, decimal(w)] as const),
    ]),
  );
  const holds = new Map<string, [number, Decimal][]>();
  for (const [i, pour] of input.pours.entries())
    for (const [key, fraction] of fractions.get(pour.lot) ?? []) {
      const held = holds.get(key);
      if (held === undefined) holds.set(key, [[i, fraction]]);
      else held.push([i, fraction]);
    }
  return holds;
}

function massUncertainty(pours: readonly NetPour[], limits: BalanceLimits): Uncertain {
  const one = new Decimal(1);
  const mass = pours.reduce((sum, pour) => sum.plus(pour.net), zero);
  return uncertain([
    { kind: 'readings', lot: null, variance: readingVariance(limits).times(overReadings(pours, () => one)) },
    { kind: 'calibration', lot: null, variance: square(mass.times(decimal(limits.c))) },
  ]);
}

function lineUncertainties(input: AsMadeInput, limits: BalanceLimits): Map<string, Uncertain> {
  const byLine = new Map<string, NetPour[]>(input.lines.map((line) => [line.line, []]));
  for (const pour of input.pours) byLine.get(pour.line)?.push(pour);
  return new Map([...byLine].map(([line, pours]) => [line, massUncertainty(pours, limits)]));
}

/**
 * Uncertainty of the as-made figures by the law of propagation with covariances (JCGM 100:2008, eq. 13), written in the
 * independent errors that cause them: each gross reading, shared by the two nets that meet at it; each lot's fractions,
 * shared by all its pours; the calibration, common to all nets, which moves every mass in proportion and so cancels in
 * a fraction and stays in a mass. Fractions by mass, masses in g, k = 2.
 */
export function uncertaintyOf(input: AsMadeInput, limits: BalanceLimits, made: AsMade): AsMadeUncertainty {
  const nothing = uncertain([]);
  const total = massUncertainty(input.pours, limits);
  const lines = lineUncertainties(input, limits);
  if (made.total.isZero())
    return {
      strength: nothing,
      materials: new Map(made.composition.map(({ material }) => [material, nothing])),
      total,
      lines,
    };
  const scale = readingVariance(limits).div(square(made.total));
  const ends = endsOf(input.pours);
  const lots = lotsInBatch(input, made);
  const byMaterial = lotsByMaterial(lots);
  const holds = holdings(input);
  const of = (
    held: readonly [number, Decimal][],
    x: Decimal,
    keys: ReadonlySet<string>,
    from: readonly LotInBatch[],
  ) =>
    uncertain([
      { kind: 'readings', lot: null, variance: scale.times(overReadingsSparse(held, x, ends)) },
      ...from.map((lot): Part => ({ kind: 'lot', lot: lot.lot, variance: lotVariance(lot, keys) })),
    ]);
  const neat = new Set(input.materials.filter(({ kind }) => kind === 'neat').map(({ key }) => key));
  return {
    strength: of(neatFractions(holds, neat), made.strength, neat, lots),
    materials: new Map(
      made.composition.map(({ material, fraction }) => [
        material,
        of(holds.get(material) ?? [], fraction, new Set([material]), byMaterial.get(material) ?? []),
      ]),
    ),
    total,
    lines,
  };
}

/** Fraction of all neat materials together in each pour that holds any. */
function neatFractions(
  holds: ReadonlyMap<string, [number, Decimal][]>,
  neat: ReadonlySet<string>,
): [number, Decimal][] {
  const sums = new Map<number, Decimal>();
  for (const [key, held] of holds)
    if (neat.has(key)) for (const [i, fraction] of held) sums.set(i, (sums.get(i) ?? zero).plus(fraction));
  return [...sums].sort(([a], [b]) => a - b);
}
