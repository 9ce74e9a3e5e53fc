import { type Bottle, bottleOf } from './bottle.ts';
import { FormulaTrouble, type Problem } from './trouble.ts';
import type { BalanceLimits, Formula, FormulaLine, Lot, Material } from './types.ts';
import { WIDEST_TELLING } from './weighable.ts';

/**
 * Choosing compares many bottles for each line, and only ever by size: floating point does. The masses themselves are
 * reckoned afterwards in decimal.
 */
interface Candidate {
  readonly lot: Lot;
  /** Mass fraction of the line's material. */
  readonly strength: number;
  readonly mass: number;
  /** 0 sure, 1 coarse, 2 blind. */
  readonly rank: number;
  /** Brings in a solvent that neither a line nor the q.s. bottle holds. */
  readonly foreign: boolean;
  readonly enough: boolean;
}

interface Shelf {
  readonly materials: ReadonlyMap<string, Material>;
  readonly byMaterial: ReadonlyMap<string, readonly Lot[]>;
  readonly usual: ReadonlySet<string>;
  readonly today: string | undefined;
  readonly batch: number;
  readonly tolerance: number;
  readonly d: number;
  readonly floor: number;
  readonly share: number;
}

/** Bottles whose strengths differ by less than a tenth are alike: among them the first to expire goes first. */
const ALIKE = 0.9;
/** A solvent line is poured from a bottle that is mostly this solvent. */
const MOSTLY = 0.5;

export const isExpired = (lot: Lot, today: string | undefined): boolean =>
  today !== undefined && lot.bestBefore !== undefined && lot.bestBefore < today;

/** The sureness of a mass as in weighable.ts: 0 sure, 1 coarse, 2 blind. */
function rankOf(mass: number, shelf: Shelf): number {
  const half = Math.max(shelf.tolerance * mass, shelf.d);
  const variance = shelf.floor + mass * mass * shelf.share;
  const widened = half > shelf.tolerance * mass;
  if (variance > half * half || (widened && half > mass * WIDEST_TELLING)) return 2;
  return widened || 4 * variance > half * half ? 1 : 0;
}

/** Whether the bottle holds the material and, apart from it, only solvents. */
function fits(lot: Lot, line: FormulaLine, shelf: Shelf): boolean {
  const solvent = shelf.materials.get(line.material)?.kind === 'solvent';
  if (solvent && Number(lot.composition[line.material]) < MOSTLY) return false;
  return Object.keys(lot.composition).every(
    (key) => key === line.material || shelf.materials.get(key)?.kind === 'solvent',
  );
}

function candidatesFor(line: FormulaLine, shelf: Shelf): Candidate[] {
  const holding = (shelf.byMaterial.get(line.material) ?? []).filter((lot) => fits(lot, line, shelf));
  const fresh = holding.filter((lot) => !isExpired(lot, shelf.today));
  return (fresh.length > 0 ? fresh : holding).map((lot) => {
    const strength = Number(lot.composition[line.material]);
    const mass = (shelf.batch * Number(line.fraction ?? '0')) / strength;
    return {
      lot,
      strength,
      mass,
      rank: line.qs === true ? 0 : rankOf(mass, shelf),
      foreign: Object.keys(lot.composition).some((key) => key !== line.material && !shelf.usual.has(key)),
      enough: lot.stock === undefined || Number(lot.stock) >= mass,
    };
  });
}

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Best first: enough in the bottle, weighable, no strange solvent; then strong where sure, weak where not; then the date. */
function inOrder(candidates: readonly Candidate[]): Candidate[] {
  if (candidates.length < 2) return [...candidates];
  const group = (one: Candidate) => (one.enough ? 0 : 100) + one.rank * 10 + (one.foreign ? 1 : 0);
  const strongest = new Map<number, number>();
  for (const one of candidates)
    strongest.set(group(one), Math.max(strongest.get(group(one)) ?? 0, one.strength));
  const alike = (one: Candidate) =>
    one.rank === 0 && one.strength >= ALIKE * (strongest.get(group(one)) ?? 0);
  return [...candidates].sort((a, b) => {
    const difference = group(a) - group(b);
    if (difference !== 0) return difference;
    if (!(alike(a) && alike(b)) && a.strength !== b.strength)
      return a.rank === 0 ? b.strength - a.strength : a.strength - b.strength;
    return (
      byText(a.lot.bestBefore ?? '9999', b.lot.bestBefore ?? '9999') ||
      b.strength - a.strength ||
      byText(a.lot.code, b.lot.code)
    );
  });
}

/**
 * Takes stronger bottles, those that save most first, until at least `grams` less are poured.
 * @returns whether any was taken
 */
function takeStronger(picks: Map<string, Candidate[]>, grams: number): boolean {
  let toSave = grams;
  let taken = false;
  while (toSave > 0) {
    let best: { id: string; list: Candidate[]; saved: number } | null = null;
    for (const [id, list] of picks) {
      const first = list[0];
      const next = list.find((one) => one.strength > (first?.strength ?? 1));
      if (first === undefined || next === undefined) continue;
      const saved = first.mass - next.mass;
      if (saved > (best?.saved ?? 0))
        best = { id, list: list.filter((one) => one.strength > first.strength), saved };
    }
    if (best === null) return taken;
    picks.set(best.id, best.list);
    toSave -= best.saved;
    taken = true;
  }
  return taken;
}

function shelfOf(
  formula: Formula,
  materials: ReadonlyMap<string, Material>,
  lots: readonly Lot[],
  balance: BalanceLimits,
  today: string | undefined,
): Shelf {
  const byMaterial = new Map<string, Lot[]>();
  for (const lot of lots)
    for (const key of Object.keys(lot.composition)) {
      const list = byMaterial.get(key);
      if (list === undefined) byMaterial.set(key, [lot]);
      else list.push(lot);
    }
  const fill = formula.lines.find((line) => line.qs === true);
  const filling = fill?.lot === undefined ? undefined : lots.find((lot) => lot.code === fill.lot);
  const anyFill = fill === undefined ? [] : (byMaterial.get(fill.material) ?? []);
  const solvents = (filling === undefined ? anyFill : [filling]).filter((lot) =>
    Object.keys(lot.composition).every((key) => materials.get(key)?.kind === 'solvent'),
  );
  const d = Number(balance.d);
  return {
    materials,
    byMaterial,
    usual: new Set([
      ...formula.lines.map((line) => line.material),
      ...solvents.flatMap((lot) => Object.keys(lot.composition)),
    ]),
    today,
    batch: Number(formula.batch),
    tolerance: Number(formula.tolerance),
    d,
    floor: Math.max(Number(balance.s) ** 2, (d * d) / 6),
    share: Number(balance.c) ** 2,
  };
}

function noBottle(line: FormulaLine, shelf: Shelf): Problem {
  const field = `line ${line.id}`;
  const holding = shelf.byMaterial.get(line.material) ?? [];
  const others = holding.map((lot) => lot.code).join(', ');
  if (holding.length === 0)
    return { field, what: `no lot contains "${line.material}"`, next: 'Add a lot of it to the shelf.' };
  if (holding.some((lot) => fits(lot, line, shelf)))
    return {
      field,
      what: `every lot of "${line.material}" serves another line already`,
      next: 'Join the lines, or add a lot.',
    };
  return {
    field,
    what: `no lot holds "${line.material}" without other materials; it is among others in ${others}`,
    next: 'Name the lot in the line to use it anyway.',
  };
}

function named(line: FormulaLine, lots: ReadonlyMap<string, Lot>): Lot | Problem {
  const field = `line ${line.id}`;
  const lot = lots.get(line.lot ?? '');
  if (lot === undefined)
    return {
      field,
      what: `there is no lot "${line.lot}"`,
      next: 'Name a lot that is on the shelf, or none.',
    };
  if (Number(lot.composition[line.material] ?? 0) > 0) return lot;
  return {
    field,
    what: `"${lot.code}" does not contain "${line.material}"; it holds ${Object.keys(lot.composition).join(', ')}`,
    next: 'Name a lot that holds it.',
  };
}

/** Bottles for the lines, and the way to stronger ones. */
export interface Choice {
  /** A bottle for every line, by line id. */
  bottles(): Map<string, Bottle>;
  /** Takes stronger bottles where the plan was free to choose, until at least `grams` less are poured; false: there are none. */
  stronger(grams: number): boolean;
}

/**
 * A bottle for every line: the one named by hand, else chosen. Chosen is, among bottles that hold nothing neat but the
 * line's material: one with enough in it; weighable; without a solvent foreign to the formula; then the strongest that
 * is surely weighed, and of bottles alike in strength the first to expire. What has expired by `today` is only taken
 * when there is nothing else.
 * @throws FormulaTrouble when a line finds no bottle
 */
export function chooseLots(
  formula: Formula,
  materials: ReadonlyMap<string, Material>,
  lots: readonly Lot[],
  balance: BalanceLimits,
  today?: string,
): Choice {
  const shelf = shelfOf(formula, materials, lots, balance, today);
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  const byHand = new Map<string, Lot>();
  const picks = new Map<string, Candidate[]>();
  const problems: Problem[] = [];
  const used = new Set(formula.lines.flatMap((line) => line.lot ?? []));
  for (const line of formula.lines) {
    if (line.lot !== undefined) {
      const lot = named(line, byCode);
      if ('what' in lot) problems.push(lot);
      else byHand.set(line.id, lot);
      continue;
    }
    const candidates = inOrder(candidatesFor(line, shelf)).filter((one) => !used.has(one.lot.code));
    if (candidates.length === 0) problems.push(noBottle(line, shelf));
    else picks.set(line.id, candidates);
    if (candidates[0] !== undefined) used.add(candidates[0].lot.code);
  }
  if (problems.length > 0) throw new FormulaTrouble(problems);
  return {
    bottles: () => {
      const chosen = new Map(byHand);
      for (const [id, [first]] of picks) if (first !== undefined) chosen.set(id, first.lot);
      return new Map([...chosen].map(([id, lot]) => [id, bottleOf(lot, materials)]));
    },
    stronger: (grams) => takeStronger(picks, grams),
  };
}
