import type { BalanceLimits, Lot } from '../formula/types.ts';
import type { Decimal } from '../quantity/decimal.ts';
import { type AsMade, type AsMadeInput, leftOf, type NetPour } from './as-made.ts';
import { drawnReadings } from './drawn-readings.ts';
import { COVERAGE } from './propagation.ts';

/** One source of an uncertainty: the gross readings, the calibration of the balance, or the strength of one lot. */
export interface UncertaintySource {
  readonly kind: 'readings' | 'calibration' | 'lot';
  readonly lot: string | null;
  /** What it alone would give as a standard uncertainty, and its share of the whole variance, 0 to 1. */
  readonly u: number;
  readonly share: number;
}

/** An uncertainty, in floating point: it is told to two figures. */
export interface Uncertain {
  /** Standard uncertainty. */
  readonly u: number;
  /** Expanded uncertainty, k = 2. */
  readonly expanded: number;
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

const square = (value: number): number => value * value;

/**
 * Variance of one gross reading in g^2: half that of a net, u(net) = max(s, d / sqrt 6).
 * d / sqrt 6 is the rounding of two readings, each rectangular over +-d/2.
 */
export function readingVariance(limits: BalanceLimits): number {
  return Math.max(square(Number(limits.s)), square(Number(limits.d)) / 6) / 2;
}

/** Whether a pour begins at the very gross reading that ended the one before it. */
const shares = (pour: NetPour, next: NetPour | undefined): boolean => next?.before.eq(pour.after) ?? false;

/** Where nets end in a gross reading of their own, and where neighbours share one. */
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

/** Fraction of a material in the pours that hold it, by the pour's place in the order. */
type Held = ReadonlyMap<number, number>;

/**
 * Sum of squared sensitivities over the gross readings for a mass fraction x, times the total squared.
 * A net moves x by (w_i - x) / A. A reading that two neighbours share enters one with plus and the other with minus and
 * so sees w_i - w_i+1 alone; a reading of one net sees w_i - x. The same as net variances 2 u(G)^2 with covariances
 * -u(G)^2 between neighbours, without a square of pairs: pours that do not hold the material cost nothing.
 */
function overReadings(held: Held, x: number, ends: Ends): number {
  let sum = square(x) * ends.count;
  for (const [i, w] of held) {
    sum += w * (w - 2 * x) * (ends.of[i] ?? 0);
    if (ends.joined[i] === true) sum += square(w - (held.get(i + 1) ?? 0));
    if (ends.joined[i - 1] === true && !held.has(i - 1)) sum += square(w);
  }
  return Math.max(sum, 0);
}

/** An error of one lot: how far each material's fraction moves with it, and its standard uncertainty. */
interface LotError {
  readonly u: number;
  readonly moves: ReadonlyMap<string, number>;
}

/**
 * The errors of a lot, one for each material whose uncertainty is named, independent of each other. Fractions sum to
 * one: what a named fraction has too much, the solvents that are not named have too little, in their proportion.
 */
function lotErrors(lot: Lot, solvents: ReadonlySet<string>): LotError[] {
  const named = lot.uncertainty ?? {};
  const takers = Object.entries(lot.composition)
    .filter(([key]) => solvents.has(key) && named[key] === undefined)
    .map(([key, text]) => [key, Number(text)] as const);
  const room = takers.reduce((sum, [, fraction]) => sum + fraction, 0);
  return Object.entries(named).map(([key, text]) => {
    const moves = new Map([[key, 1]]);
    if (room > 0) for (const [taker, fraction] of takers) moves.set(taker, -fraction / room);
    return { u: Number(text), moves };
  });
}

interface Part {
  readonly kind: UncertaintySource['kind'];
  readonly lot: string | null;
  readonly variance: number;
}

function uncertain(parts: readonly Part[]): Uncertain {
  const variance = parts.reduce((sum, part) => sum + part.variance, 0);
  const u = Math.sqrt(variance);
  const sources = parts
    .filter((part) => part.variance > 0)
    .sort((a, b) => b.variance - a.variance)
    .map(({ kind, lot, variance: own }) => ({
      kind,
      lot,
      u: Math.sqrt(own),
      share: own / variance,
    }));
  return { u, expanded: u * COVERAGE, sources };
}

/** Share of each lot in the batch, and what its errors do to each material. */
interface LotInBatch {
  readonly lot: string;
  readonly share: number;
  readonly errors: readonly LotError[];
}

function lotsInBatch(input: AsMadeInput, made: AsMade): LotInBatch[] {
  const solvents = new Set(input.materials.filter(({ kind }) => kind === 'solvent').map(({ key }) => key));
  const lots = new Map(input.lots.map((lot) => [lot.code, lot]));
  const inside = new Map<string, number>();
  for (const pour of input.pours) inside.set(pour.lot, (inside.get(pour.lot) ?? 0) + leftOf(pour).toNumber());
  return made.lots.flatMap(({ lot: code }) => {
    const lot = lots.get(code);
    if (lot?.uncertainty === undefined) return [];
    return [
      { lot: code, share: (inside.get(code) ?? 0) / made.total.toNumber(), errors: lotErrors(lot, solvents) },
    ];
  });
}

/** Variance that a lot brings to the sum of the materials in `keys`: its errors do not know of each other. */
function lotVariance({ share, errors }: LotInBatch, keys: ReadonlySet<string>): number {
  let variance = 0;
  for (const { u, moves } of errors) {
    let move = 0;
    for (const [key, by] of moves) if (keys.has(key)) move += by;
    variance += square(move * u * share);
  }
  return variance;
}

/** Lots that touch a material, so that a material need not ask all of them. */
function lotsByMaterial(lots: readonly LotInBatch[]): Map<string, LotInBatch[]> {
  const found = new Map<string, LotInBatch[]>();
  for (const lot of lots)
    for (const key of new Set(lot.errors.flatMap((error) => [...error.moves.keys()]))) {
      const others = found.get(key);
      if (others === undefined) found.set(key, [lot]);
      else others.push(lot);
    }
  return found;
}

/** Which pours hold each material, and how much of each pour it is. */
function holdings(input: AsMadeInput): Map<string, Map<number, number>> {
  const fractions = new Map(
    input.lots.map((lot) => [
      lot.code,
      Object.entries(lot.composition).map(([k, w]) => [k, Number(w)] as const),
    ]),
  );
  const holds = new Map<string, Map<number, number>>();
  for (const [i, pour] of input.pours.entries())
    for (const [key, fraction] of fractions.get(pour.lot) ?? []) {
      const held = holds.get(key);
      if (held === undefined) holds.set(key, new Map([[i, fraction]]));
      else held.set(i, fraction);
    }
  return holds;
}

/** Fraction of all neat materials together in each pour that holds any. */
function neatTogether(holds: ReadonlyMap<string, Held>, neat: ReadonlySet<string>): Held {
  const sums = new Map<number, number>();
  for (const [key, held] of holds)
    if (neat.has(key)) for (const [i, fraction] of held) sums.set(i, (sums.get(i) ?? 0) + fraction);
  return sums;
}

/** Sums of squared sensitivities over the gross readings: of a fraction times the total squared, and of a mass. */
interface Readings {
  fraction(held: Held, x: number): number;
  /** Of what is left of these pours. */
  mass(pours: readonly NetPour[]): number;
}

/**
 * While nothing was withdrawn a sum of nets moves by 1 with each: a shared reading cancels, and only the ends of a run
 * remain.
 */
function readingsOf(input: AsMadeInput): Readings {
  const ends = endsOf(input.pours);
  if ((input.withdrawals ?? []).length === 0)
    return { fraction: (held, x) => overReadings(held, x, ends), mass: (pours) => endsOf(pours).count };
  const drawn = drawnReadings(input);
  const place = new Map(input.pours.map((pour, i) => [pour, i]));
  return {
    fraction: drawn.fraction,
    mass: (pours) => drawn.mass(new Map(pours.map((pour) => [place.get(pour) ?? -1, 1]))),
  };
}

function massUncertainty(pours: readonly NetPour[], limits: BalanceLimits, readings: Readings): Uncertain {
  const mass = pours.reduce((sum, pour) => sum + leftOf(pour).toNumber(), 0);
  return uncertain([
    { kind: 'readings', lot: null, variance: readingVariance(limits) * readings.mass(pours) },
    { kind: 'calibration', lot: null, variance: square(mass * Number(limits.c)) },
  ]);
}

function lineUncertainties(
  input: AsMadeInput,
  limits: BalanceLimits,
  readings: Readings,
): Map<string, Uncertain> {
  const byLine = new Map<string, NetPour[]>(input.lines.map((line) => [line.line, []]));
  for (const pour of input.pours) byLine.get(pour.line)?.push(pour);
  return new Map([...byLine].map(([line, pours]) => [line, massUncertainty(pours, limits, readings)]));
}

function fractionUncertainties(
  input: AsMadeInput,
  limits: BalanceLimits,
  made: AsMade,
  readings: Readings,
): Pick<AsMadeUncertainty, 'strength' | 'materials'> {
  const scale = readingVariance(limits) / square(made.total.toNumber());
  const lots = lotsInBatch(input, made);
  const byMaterial = lotsByMaterial(lots);
  const holds = holdings(input);
  const none: Held = new Map();
  const of = (held: Held, x: Decimal, keys: ReadonlySet<string>, from: readonly LotInBatch[]): Uncertain =>
    uncertain([
      { kind: 'readings', lot: null, variance: scale * readings.fraction(held, x.toNumber()) },
      ...from.map((lot): Part => ({ kind: 'lot', lot: lot.lot, variance: lotVariance(lot, keys) })),
    ]);
  const neat = new Set(
    made.composition.filter(({ kind }) => kind === 'neat').map(({ material }) => material),
  );
  const materials = made.composition.map(({ material: key, fraction }): [string, Uncertain] => [
    key,
    of(holds.get(key) ?? none, fraction, new Set([key]), byMaterial.get(key) ?? []),
  ]);
  return {
    strength: of(neatTogether(holds, neat), made.strength, neat, lots),
    materials: new Map(materials),
  };
}

/**
 * Uncertainty of the as-made figures by the law of propagation with covariances (JCGM 100:2008, eq. 13), written in the
 * independent errors that cause them: each gross reading, shared by the two nets that meet at it; each lot's fractions,
 * shared by all its pours; the calibration, common to all nets, which moves every mass in proportion and so cancels in
 * a fraction and stays in a mass. What was withdrawn scales all that was in equally, and tells only on the masses and on
 * what was poured afterwards; of a lot it counts what is left in the vessel. Fractions by mass, masses in g, k = 2. Summed in binary floating point: an
 * uncertainty is told to two figures, and nothing that is weighed or poured depends on it.
 */
export function uncertaintyOf(input: AsMadeInput, limits: BalanceLimits, made: AsMade): AsMadeUncertainty {
  const readings = readingsOf(input);
  const total = massUncertainty(input.pours, limits, readings);
  const lines = lineUncertainties(input, limits, readings);
  if (!made.total.isZero()) return { ...fractionUncertainties(input, limits, made, readings), total, lines };
  const nothing = uncertain([]);
  const materials = new Map(made.composition.map(({ material }) => [material, nothing]));
  return { strength: nothing, materials, total, lines };
}
