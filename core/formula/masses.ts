import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import type { Bottle } from './bottle.ts';
import { type Equation, ONE } from './eliminate.ts';
import { solve } from './solve.ts';
import { FormulaTrouble, trouble } from './trouble.ts';
import type { Formula, FormulaLine } from './types.ts';

/** What is asked of one bottle: the lines that it serves, the first of which gives its step. */
export interface Share {
  readonly bottle: Bottle;
  readonly lines: readonly FormulaLine[];
}

/** A formula with a bottle for every line, as the equations see it. Masses in g. */
export interface Demand {
  readonly total: Decimal;
  readonly shares: readonly Share[];
}

/** Relative difference that is rounding, not an error of the formula. */
export const SLACK = new Decimal('1e-9');
const ZERO = new Decimal(0);

/**
 * Joins the lines with the bottles chosen for them; lines that share a bottle become one share.
 * @throws FormulaTrouble when the q.s. bottle serves another line too
 */
export function demandOf(formula: Formula, chosen: ReadonlyMap<string, Bottle>): Demand {
  const byLot = new Map<string, { bottle: Bottle; lines: FormulaLine[] }>();
  for (const line of formula.lines) {
    const bottle = chosen.get(line.id);
    if (bottle === undefined) throw new RangeError(`no bottle was chosen for line ${line.id}`);
    const share = byLot.get(bottle.lot.code);
    if (share === undefined) byLot.set(bottle.lot.code, { bottle, lines: [line] });
    else if (line.qs === true || share.lines[0]?.qs === true)
      throw trouble(
        `line ${line.id}`,
        `"${bottle.lot.name}" fills to the total and serves another line too`,
        'Leave the other line out, or give it a bottle of its own.',
      );
    else share.lines.push(line);
  }
  return { total: decimal(formula.batch), shares: [...byLot.values()] };
}

/** Which bottles carry each material, with their fraction of it. */
function carriers(shares: readonly Share[]): Map<string, { unknown: number; coefficient: Decimal }[]> {
  const found = new Map<string, { unknown: number; coefficient: Decimal }[]>();
  for (const [unknown, { bottle }] of shares.entries())
    for (const [key, coefficient] of bottle.parts) {
      const list = found.get(key);
      if (list === undefined) found.set(key, [{ unknown, coefficient }]);
      else list.push({ unknown, coefficient });
    }
  return found;
}

/**
 * The equations of a demand: all that the bottles carry of a wanted material is the batch times its fraction, and the
 * q.s. line makes the total. Where several lines ask for one material from several bottles, each has its own share,
 * and the first takes what bottles of other lines carry along.
 */
function equationsOf({ total, shares }: Demand): Equation[] {
  const carrying = carriers(shares);
  const owners = new Map<string, number[]>();
  for (const [unknown, { lines }] of shares.entries()) {
    const line = lines[0];
    if (line !== undefined) owners.set(line.material, [...(owners.get(line.material) ?? []), unknown]);
  }
  return shares.map(({ bottle, lines }, unknown) => {
    const line = lines[0];
    if (line === undefined || line.qs === true)
      return { terms: shares.map((_, at) => ({ unknown: at, coefficient: ONE })), right: total };
    const right = total.times(decimal(line.fraction ?? '0'));
    const all = owners.get(line.material) ?? [];
    const first = all.find((one) => shares[one]?.lines[0]?.qs !== true);
    if (first !== unknown)
      return { terms: [{ unknown, coefficient: bottle.parts.get(line.material) ?? ZERO }], right };
    const others = new Set(all.filter((one) => one !== unknown));
    const terms = carrying.get(line.material) ?? [];
    return { terms: others.size === 0 ? terms : terms.filter((term) => !others.has(term.unknown)), right };
  });
}

/** Pour masses by share, in g; they may be negative where the bottles cannot make the formula. Null: undetermined. */
export function rawMasses(demand: Demand): Decimal[] | null {
  return solve(equationsOf(demand), demand.shares.length);
}

/** How much of each material the pours bring in, in g; those that `left` names are left out. */
export function brought(
  demand: Demand,
  masses: readonly Decimal[],
  left: (key: string) => boolean = () => false,
): Map<string, Decimal> {
  const sums = new Map<string, Decimal>();
  for (const [at, { bottle }] of demand.shares.entries()) {
    const mass = masses[at] ?? ZERO;
    for (const [key, fraction] of bottle.parts)
      if (!left(key)) sums.set(key, (sums.get(key) ?? ZERO).plus(mass.times(fraction)));
  }
  return sums;
}

/** Two lines on one bottle can only be served if it holds their materials in the proportion asked. */
function checkShared(demand: Demand, sums: ReadonlyMap<string, Decimal>): void {
  const problems = demand.shares.flatMap(({ bottle, lines }) =>
    lines.slice(1).flatMap((line) => {
      if (line.qs === true) return [];
      const asked = demand.total.times(decimal(line.fraction ?? '0'));
      const comes = sums.get(line.material) ?? ZERO;
      if (comes.minus(asked).abs().lte(demand.total.times(SLACK))) return [];
      return [
        {
          field: `line ${line.id}`,
          what: `"${bottle.lot.name}" is poured for ${lines[0]?.material} and brings in ${comes.toFixed(4)} g of ${line.material}, where ${asked.toFixed(4)} g are asked`,
          next: 'Give this line a bottle of its own.',
        },
      ];
    }),
  );
  if (problems.length > 0) throw new FormulaTrouble(problems);
}

/** Without a q.s. line the fractions, and what the bottles bring along, must make the total by themselves. */
function checkTotal(demand: Demand, masses: readonly Decimal[]): void {
  const lines = demand.shares.flatMap((share) => share.lines);
  const asked = lines.reduce((sum, line) => sum.plus(decimal(line.fraction ?? '0')), ZERO);
  if (asked.minus(1).abs().gt(SLACK))
    throw trouble(
      'lines',
      `the fractions add up to ${plain(asked)} and no line fills to the total`,
      'Mark the solvent as the q.s. line, or make the fractions add up to 1.',
    );
  const sum = masses.reduce((total, mass) => total.plus(mass), ZERO);
  if (sum.minus(demand.total).abs().lte(demand.total.times(SLACK))) return;
  const wanted = new Set(lines.map((line) => line.material));
  const along = [...brought(demand, masses)].filter(([key, mass]) => !wanted.has(key) && mass.gt(0));
  throw trouble(
    'lines',
    `the bottles bring in ${along.map(([key, mass]) => `${mass.toFixed(4)} g of ${key}`).join(', ')}, which no line asks for, so that the pours add up to ${sum.toFixed(4)} g instead of ${plain(demand.total)} g`,
    'Mark one line as q.s., ask for these materials too, or use bottles without them.',
  );
}

/**
 * Pour masses in g by share. Where `short` is true some of them are negative: the bottles cannot make the formula.
 * @throws FormulaTrouble when the equations do not determine them, two lines cannot share a bottle, or the total is not met
 */
export function solveMasses(demand: Demand): { masses: Decimal[]; short: boolean } {
  const raw = rawMasses(demand);
  if (raw === null)
    throw trouble(
      'lines',
      'the bottles chosen do not tell the lines apart: some hold the same materials in the same proportion',
      'Give each line a bottle that holds mostly its own material.',
    );
  const rounding = demand.total.times('1e-12');
  const masses = raw.map((mass) => (mass.lte(rounding) && mass.gte(rounding.neg()) ? ZERO : mass));
  if (masses.some((mass) => mass.isNegative())) return { masses, short: true };
  if (demand.shares.some(({ lines }) => lines.length > 1)) checkShared(demand, brought(demand, masses));
  if (!demand.shares.some(({ lines }) => lines[0]?.qs === true)) checkTotal(demand, masses);
  return { masses, short: false };
}
