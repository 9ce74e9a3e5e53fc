import { Decimal, type DecimalText, decimal, decimalsOf, fixed, plain } from '../quantity/decimal.ts';
import { estimatesOf } from '../record/estimates.ts';
import { plan } from './plan.ts';
import { trouble } from './trouble.ts';
import type { BalanceLimits, Formula, Lot, Material, Plan } from './types.ts';
import { leastSure } from './weighable.ts';

const ZERO = new Decimal(0);

/** What a batch size is reckoned from: the shelf and the balance. */
export interface Workplace {
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  readonly balance: BalanceLimits;
  readonly today?: string;
}

export const planAt = (formula: Formula, place: Workplace, batch = formula.batch): Plan =>
  plan(
    { ...formula, batch },
    place.materials,
    place.lots,
    place.balance,
    place.today === undefined ? {} : { today: place.today },
  );

/** The formula with every bottle named that the plan took, so that another batch size keeps them. */
export function withBottles(formula: Formula, made: Plan): Formula {
  const lots = new Map(made.steps.map((step) => [step.line, step.lot]));
  return {
    ...formula,
    lines: formula.lines.map((line) => {
      const lot = lots.get(line.id) ?? line.lot;
      return lot === undefined ? line : { ...line, lot };
    }),
  };
}

/** Mass fractions of what the plan pours, by material key. */
export function plannedComposition(made: Plan, lots: readonly Lot[]): Map<string, Decimal> {
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  const total = decimal(made.total);
  const sums = new Map<string, Decimal>();
  for (const step of made.steps)
    for (const [key, fraction] of Object.entries(byCode.get(step.lot)?.composition ?? {})) {
      const part = decimal(step.target).times(decimal(fraction)).div(total);
      sums.set(key, (sums.get(key) ?? ZERO).plus(part));
    }
  return sums;
}

/** Batch for a bottle: an estimate, because the density is one. */
export interface BatchByVolume {
  /** g, to the readability. */
  readonly batch: DecimalText;
  /** g/mL at 20 °C, estimated from the components as if volumes added up, ethanol and water apart. */
  readonly density: DecimalText;
  /** Names of materials whose density is not entered and was assumed. */
  readonly assumed: readonly string[];
}

/**
 * Batch that fills `volume` mL at 20 °C.
 * @throws FormulaTrouble when the volume is not above zero or the formula cannot be planned
 */
export function batchByVolume(formula: Formula, volume: DecimalText, place: Workplace): BatchByVolume {
  const millilitres = decimal(volume);
  if (!millilitres.gt(0)) throw trouble('volume', `${volume} mL is not above 0`, 'Give the volume in mL.');
  const names = new Map(place.materials.map((one) => [one.key, one.name]));
  const made = planAt(formula, place, plain(millilitres));
  const parts = [...plannedComposition(made, place.lots)];
  const estimate = estimatesOf(
    parts.map(([key, fraction]) => ({ material: key, name: names.get(key) ?? key, fraction })),
    place.materials,
    decimal(made.total),
  );
  if (estimate === null) throw trouble('lines', 'nothing is poured', 'Add a line.');
  return {
    batch: fixed(millilitres.times(estimate.density), decimalsOf(place.balance.d)),
    density: fixed(estimate.density, 4),
    assumed: estimate.assumed,
  };
}

/**
 * Largest batch that the bottles at hand make, and the one that runs out first; null when no stock is known.
 * The batch is rounded down to the readability.
 * @throws FormulaTrouble when the formula cannot be planned
 */
export function batchByStock(
  formula: Formula,
  place: Workplace,
): { batch: DecimalText; lot: string; line: string } | null {
  const stocks = new Map(place.lots.map((lot) => [lot.code, lot.stock]));
  const made = planAt(formula, place);
  let first: { factor: Decimal; lot: string; line: string } | null = null;
  for (const step of made.steps) {
    const stock = stocks.get(step.lot);
    if (stock === undefined) continue;
    const factor = decimal(stock).div(step.target);
    if (first === null || factor.lt(first.factor)) first = { factor, lot: step.lot, line: step.line };
  }
  if (first === null) return null;
  const batch = decimal(formula.batch)
    .times(first.factor)
    .toDecimalPlaces(decimalsOf(place.balance.d), Decimal.ROUND_DOWN);
  return { batch: plain(batch), lot: first.lot, line: first.line };
}

/** Rounds a batch up to three significant digits, so that it can be remembered. */
export const upToThree = (mass: Decimal): DecimalText => plain(mass.toSignificantDigits(3, Decimal.ROUND_UP));

/**
 * Smallest batch in which every line is surely weighed, with the bottles the plan takes; null when the calibration
 * share alone takes up the tolerance. It may be more than the balance or a bottle gives: the plan at this batch warns.
 * @throws FormulaTrouble when the formula cannot be planned
 */
export function smallestSureBatch(formula: Formula, place: Workplace): DecimalText | null {
  const least = leastSure(formula.tolerance, place.balance);
  if (least === null) return null;
  const made = planAt(formula, place);
  const factor = made.steps.reduce((most, step) => Decimal.max(most, least.div(step.target)), ZERO);
  return upToThree(decimal(formula.batch).times(factor));
}

/** What one vessel can take. Masses in g. */
export interface Room {
  readonly balanceCapacity: DecimalText;
  /** Mass of the empty vessel: it stands on the balance too. */
  readonly vesselMass?: DecimalText;
  readonly vesselCapacity?: DecimalText;
}

/**
 * Splits a batch over as few vessels as hold it, in equal parts as near as `decimals` allow; the parts add up exactly.
 * @throws FormulaTrouble when a vessel leaves no room at all
 */
export function splitBatch(batch: DecimalText, room: Room, decimals: number): DecimalText[] {
  const onBalance = decimal(room.balanceCapacity).minus(decimal(room.vesselMass ?? '0'));
  const most = Decimal.min(onBalance, room.vesselCapacity === undefined ? onBalance : room.vesselCapacity);
  if (!most.gt(0))
    throw trouble(
      'vessel',
      `the empty vessel of ${room.vesselMass ?? '0'} g leaves no room on a balance of ${room.balanceCapacity} g`,
      'Take a lighter vessel.',
    );
  const total = decimal(batch);
  const step = new Decimal(10).pow(-decimals);
  const whole = most.div(step).floor().times(step);
  if (!whole.gt(0))
    throw trouble('vessel', 'the vessel holds less than one readability', 'Take a larger one.');
  const count = total.div(whole).ceil().toNumber();
  const part = total.div(count).toDecimalPlaces(decimals, Decimal.ROUND_DOWN);
  const left = total.minus(part.times(count));
  const more = left.div(step).floor().toNumber();
  const rest = left.minus(step.times(more));
  return Array.from({ length: count }, (_, at) => {
    const mass = part.plus(at < more ? step : 0).plus(at === count - 1 ? rest : 0);
    return fixed(mass, Math.max(decimals, mass.decimalPlaces()));
  });
}
