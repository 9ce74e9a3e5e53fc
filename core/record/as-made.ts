import type { Formula, Lot, Material } from '../formula/types.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';
import type { LineMark } from './pours.ts';

/** One net that counts, as it was poured. Masses in g. */
export interface NetPour {
  readonly line: string;
  readonly lot: string;
  readonly before: Decimal;
  readonly after: Decimal;
  readonly net: Decimal;
  /** Fraction of it that is still in the vessel after what was withdrawn since; absent, all of it. */
  readonly stays?: Decimal;
}

/** Something taken out of the vessel, a part of all that was in. Masses in g. */
export interface NetWithdrawal {
  /** How many of the pours given were made before it. */
  readonly place: number;
  readonly before: Decimal;
  readonly after: Decimal;
  readonly taken: Decimal;
}

/** One line of the batch at its last scale. Masses in g. */
export interface MadeLine {
  readonly line: string;
  readonly title: string;
  /** The lot that was planned for it. */
  readonly lot: string;
  readonly target: Decimal;
  readonly half: Decimal;
  readonly drop: Decimal;
  readonly mark: LineMark;
}

export interface AsMadeInput {
  readonly formula: Formula;
  readonly materials: readonly Material[];
  /** Every lot that was planned or poured. */
  readonly lots: readonly Lot[];
  /** The pours that were not voided, in the order they were made. */
  readonly pours: readonly NetPour[];
  readonly withdrawals?: readonly NetWithdrawal[];
  readonly lines: readonly MadeLine[];
}

export interface LineAsMade extends MadeLine {
  readonly poured: Decimal;
  /** Poured less target, in g. */
  readonly deviation: Decimal;
  /** The same as a fraction of the target, and in drops of the liquid; null where the divisor is zero. */
  readonly relative: Decimal | null;
  readonly drops: Decimal | null;
}

export interface MaterialAsMade {
  readonly material: string;
  readonly name: string;
  readonly kind: Material['kind'];
  /** Mass fraction in the batch as made, and by the formula. */
  readonly fraction: Decimal;
  readonly target: Decimal;
}

export interface AsMade {
  /** What is in the vessel: the sum of the nets less what was withdrawn, in g. */
  readonly total: Decimal;
  /** In the order of the materials given, undescribed ones last; only what is in the batch or was meant to be. */
  readonly composition: readonly MaterialAsMade[];
  /** Mass fraction of all neat materials together. */
  readonly strength: Decimal;
  readonly targetStrength: Decimal;
  readonly lines: readonly LineAsMade[];
  /** What was poured of each lot, withdrawn or not. */
  readonly lots: readonly { readonly lot: string; readonly name: string; readonly mass: Decimal }[];
  /** Price of what was poured, withdrawn or not, without the lots named in `unpriced`. */
  readonly cost: Decimal;
  readonly unpriced: readonly string[];
}

const zero = new Decimal(0);

/** Mass fractions by material key. */
export type Composition = ReadonlyMap<string, Decimal>;

/** Lots by code, their fractions read once. @throws RangeError naming a lot that is not given */
export class Lots {
  readonly #lots: ReadonlyMap<string, { readonly lot: Lot; readonly fractions: Composition }>;
  constructor(lots: readonly Lot[]) {
    const fractions = (lot: Lot): Composition =>
      new Map(Object.entries(lot.composition).map(([key, text]) => [key, decimal(text)]));
    this.#lots = new Map(lots.map((lot) => [lot.code, { lot, fractions: fractions(lot) }]));
  }
  #get(code: string): { readonly lot: Lot; readonly fractions: Composition } {
    const found = this.#lots.get(code);
    if (found === undefined) throw new RangeError(`lot "${code}" is not among the lots of the batch`);
    return found;
  }
  lot(code: string): Lot {
    return this.#get(code).lot;
  }
  composition(code: string): Composition {
    return this.#get(code).fractions;
  }
}

/** Mass of each material in what was taken from the lots, in g. */
export function materialMasses(
  taken: readonly { readonly lot: string; readonly mass: Decimal }[],
  lots: Lots,
): Map<string, Decimal> {
  const masses = new Map<string, Decimal>();
  for (const { lot, mass } of taken)
    for (const [key, fraction] of lots.composition(lot))
      masses.set(key, (masses.get(key) ?? zero).plus(mass.times(fraction)));
  return masses;
}

const sumOf = (values: Iterable<Decimal>): Decimal => {
  let sum = zero;
  for (const value of values) sum = sum.plus(value);
  return sum;
};

/** x_k = sum a_i w_ik / sum a_i over what is in the vessel; all zero while nothing is poured. */
export function fractionsOf(masses: ReadonlyMap<string, Decimal>, total: Decimal): Map<string, Decimal> {
  return new Map([...masses].map(([key, mass]) => [key, total.isZero() ? zero : mass.div(total)]));
}

/**
 * Composition by the formula: what it states of a material holds; the rest of the batch is split as the planned lots
 * bring the other materials in.
 */
function targetComposition(input: AsMadeInput, lots: Lots): Map<string, Decimal> {
  const stated = new Map<string, Decimal>();
  for (const { material, fraction } of input.formula.lines)
    if (fraction !== undefined) stated.set(material, (stated.get(material) ?? zero).plus(decimal(fraction)));
  const planned = input.lines.map((line) => ({ lot: line.lot, mass: line.target }));
  const others = new Map([...materialMasses(planned, lots)].filter(([key]) => !stated.has(key)));
  const carried = sumOf(others.values());
  const rest = new Decimal(1).minus(sumOf(stated.values()));
  for (const [key, mass] of others) stated.set(key, carried.isZero() ? zero : rest.times(mass).div(carried));
  return stated;
}

/** What is left of a net in the vessel. */
export const leftOf = ({ net, stays }: Pick<NetPour, 'net' | 'stays'>): Decimal =>
  stays === undefined || stays.eq(1) ? net : net.times(stays);

/** Decimals of what is left of a line: a ratio ends there. */
const DECIMALS = 24;

function linesAsMade(input: AsMadeInput): LineAsMade[] {
  const poured = new Map<string, Decimal>();
  for (const pour of input.pours) poured.set(pour.line, (poured.get(pour.line) ?? zero).plus(leftOf(pour)));
  return input.lines.map((line) => {
    const mass = (poured.get(line.line) ?? zero).toDecimalPlaces(DECIMALS);
    const deviation = mass.minus(line.target);
    return {
      ...line,
      poured: mass,
      deviation,
      relative: line.target.isZero() ? null : deviation.div(line.target),
      drops: line.drop.isZero() ? null : deviation.div(line.drop),
    };
  });
}

function lotsUsed(input: AsMadeInput, lots: Lots): AsMade['lots'] {
  const used = new Map<string, Decimal>();
  for (const { lot, net } of input.pours) used.set(lot, (used.get(lot) ?? zero).plus(net));
  return [...used].map(([lot, mass]) => ({ lot, name: lots.lot(lot).name, mass }));
}

function priced(used: AsMade['lots'], lots: Lots): Pick<AsMade, 'cost' | 'unpriced'> {
  const unpriced: string[] = [];
  let cost = zero;
  for (const { lot, mass } of used) {
    const { price } = lots.lot(lot);
    if (price === undefined) unpriced.push(lot);
    else cost = cost.plus(mass.times(decimal(price)));
  }
  return { cost, unpriced };
}

/** What a composition says of a material that the batch does not describe: as in the plan, it counts as neat. */
const undescribed = (key: string): Pick<Material, 'key' | 'name' | 'kind'> => ({
  key,
  name: key,
  kind: 'neat',
});

function compositionOf(
  input: AsMadeInput,
  made: ReadonlyMap<string, Decimal>,
  target: ReadonlyMap<string, Decimal>,
): MaterialAsMade[] {
  const known = new Set(input.materials.map((material) => material.key));
  const others = [...new Set([...made.keys(), ...target.keys()])].filter((key) => !known.has(key));
  return [...input.materials, ...others.map(undescribed)]
    .filter(({ key }) => made.has(key) || target.has(key))
    .map(({ key, name, kind }) => ({
      material: key,
      name,
      kind,
      fraction: made.get(key) ?? zero,
      target: target.get(key) ?? zero,
    }));
}

/**
 * What is in the vessel: composition and strength from the nets and the lots they came from, and how each line lies
 * against its target at the last scale. Masses in g, fractions by mass.
 * @throws RangeError naming a lot that is not given
 */
export function asMade(input: AsMadeInput): AsMade {
  const lots = new Lots(input.lots);
  const drawn = sumOf((input.withdrawals ?? []).map(({ taken }) => taken));
  const total = sumOf(input.pours.map((pour) => pour.net)).minus(drawn);
  const inside = input.pours.map((pour) => ({ lot: pour.lot, mass: leftOf(pour) }));
  const made = fractionsOf(materialMasses(inside, lots), total);
  const composition = compositionOf(input, made, targetComposition(input, lots));
  const neat = composition.filter(({ kind }) => kind === 'neat');
  const used = lotsUsed(input, lots);
  return {
    total,
    composition,
    strength: sumOf(neat.map(({ fraction }) => fraction)),
    targetStrength: sumOf(neat.map(({ target }) => target)),
    lines: linesAsMade(input),
    lots: used,
    ...priced(used, lots),
  };
}
