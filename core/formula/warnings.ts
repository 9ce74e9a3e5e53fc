import { type Decimal, decimal } from '../quantity/decimal.ts';
import { brought, type Demand } from './masses.ts';
import { expiryOf } from './supply.ts';
import type { BalanceLimits, Formula, Material, PlanWarning, Step } from './types.ts';

/** What of the bench and the day a plan is held against. */
export interface Circumstances {
  /** ISO 8601 date, to tell what has expired. */
  readonly today?: string;
  /** What the vessel holds, in g. */
  readonly vesselCapacity?: string;
  /** Mass of the empty vessel, in g: it counts against the capacity of the balance. */
  readonly vesselMass?: string;
}

const grams = (mass: Decimal): string => `${mass.toSignificantDigits(4).toString()} g`;

/** Materials that no line asks for and that come along with a bottle. */
function comingAlong(
  demand: Demand,
  masses: readonly Decimal[],
  materials: ReadonlyMap<string, Material>,
): PlanWarning[] {
  const wanted = new Set(demand.shares.flatMap(({ lines }) => lines.map((line) => line.material)));
  const filling = demand.shares.find(({ lines }) => lines[0]?.qs === true);
  const asked = (key: string) => wanted.has(key) || filling?.bottle.parts.has(key) === true;
  return [...brought(demand, masses, asked)].flatMap(([key, mass]): PlanWarning[] => {
    if (!mass.gt(0)) return [];
    const from = demand.shares.filter(({ bottle }) => bottle.parts.has(key));
    const solvent = materials.get(key)?.kind === 'solvent';
    return [
      {
        line: from.length === 1 ? (from[0]?.lines[0]?.id ?? null) : null,
        what: solvent ? 'solvent-along' : 'material-along',
        text: `${grams(mass)} of ${materials.get(key)?.name ?? key} come along with ${from.map(({ bottle }) => bottle.lot.name).join(', ')}: ${mass.div(demand.total).times(100).toSignificantDigits(3).toString()} % of the batch, and no line asks for it.`,
      },
    ];
  });
}

/** Lines whose material other bottles bring along already, and lines that share a bottle. */
function withoutStep(demand: Demand, masses: readonly Decimal[]): PlanWarning[] {
  return demand.shares.flatMap(({ bottle, lines }, at) => {
    const first = lines[0];
    const nothing: PlanWarning[] =
      masses[at]?.isZero() === true && first !== undefined
        ? [
            {
              line: first.id,
              what: 'nothing-to-pour',
              text: `Nothing is left to pour from ${bottle.lot.name}: ${first.qs === true ? 'the other lines make the total' : 'other bottles bring all of it along'}.`,
            },
          ]
        : [];
    const shared = lines.slice(1).map((line) => ({
      line: line.id,
      what: 'shared',
      text: `${bottle.lot.name} serves this line together with another; it is poured once.`,
    }));
    return [...nothing, ...shared];
  });
}

function ofBottle(
  step: Step,
  lots: ReadonlyMap<string, { stock?: string; bestBefore?: string }>,
  today?: string,
): PlanWarning[] {
  const lot = lots.get(step.lot);
  const warnings: PlanWarning[] = [];
  if (lot?.stock !== undefined && Number(lot.stock) < Number(step.target))
    warnings.push({
      line: step.line,
      what: 'stock',
      text: `${step.title} (${step.lot}) holds ${lot.stock} g; the plan asks for ${decimal(step.target).toFixed(2)} g.`,
    });
  else if (lot?.stock !== undefined && Number(lot.stock) < 2 * Number(step.target))
    warnings.push({
      line: step.line,
      what: 'last-batch',
      text: `${step.title} (${step.lot}) holds ${lot.stock} g: after this batch not enough is left for another like it.`,
    });
  const expiry = lot === undefined || today === undefined ? null : expiryOf(lot, today);
  if (expiry !== null)
    warnings.push({
      line: step.line,
      what: expiry.past ? 'expired' : 'expiring',
      text: `${step.title} (${step.lot}) ${expiry.past ? '' : 'is '}${expiry.text}.`,
    });
  return warnings;
}

function ofWeighing(step: Step, tolerance: string): PlanWarning[] {
  if (step.sureness === 'sure' && !step.dropTooLarge) return [];
  const target = grams(decimal(step.target));
  if (step.sureness === 'blind')
    return [
      {
        line: step.line,
        what: 'blind',
        text: `${target} of ${step.title} is less than this balance can tell within the tolerance: a dilution, a larger batch or a finer balance is needed.`,
      },
    ];
  if (step.sureness === 'coarse')
    return [
      {
        line: step.line,
        what: 'coarse',
        text: `${target} of ${step.title} is weighed coarsely: this balance cannot surely keep the tolerance of ${tolerance} %.`,
      },
    ];
  return [
    {
      line: step.line,
      what: 'drop',
      text: `The window of ${step.title} is narrower than one drop of ${step.drop} g: it needs a smaller drop or a dilution.`,
    },
  ];
}

function ofRoom(
  total: Decimal,
  balance: BalanceLimits,
  { vesselCapacity, vesselMass }: Circumstances,
): PlanWarning[] {
  const warnings: PlanWarning[] = [];
  const load = total.plus(decimal(vesselMass ?? '0'));
  if (load.gt(decimal(balance.capacity)))
    warnings.push({
      line: null,
      what: 'balance-capacity',
      text: `${grams(load)} are more than the balance carries (${balance.capacity} g): pour into several vessels.`,
    });
  if (vesselCapacity !== undefined && total.gt(decimal(vesselCapacity)))
    warnings.push({
      line: null,
      what: 'vessel-capacity',
      text: `${grams(total)} are more than the vessel holds (${vesselCapacity} g): take a larger one or several.`,
    });
  return warnings;
}

/**
 * What a person should know before the first pour. `what` is one of: blind, coarse, drop, stock, last-batch, expired, expiring,
 * material-along, solvent-along, nothing-to-pour, shared, balance-capacity, vessel-capacity (and order, from the order).
 */
export function warningsOf(
  formula: Formula,
  demand: Demand,
  masses: readonly Decimal[],
  steps: readonly Step[],
  materials: ReadonlyMap<string, Material>,
  balance: BalanceLimits,
  circumstances: Circumstances,
): PlanWarning[] {
  const tolerance = decimal(formula.tolerance).times(100).toString();
  const lots = new Map(demand.shares.map(({ bottle }) => [bottle.lot.code, bottle.lot]));
  return [
    ...ofRoom(decimal(formula.batch), balance, circumstances),
    ...steps.flatMap((step) => [
      ...ofWeighing(step, tolerance),
      ...ofBottle(step, lots, circumstances.today),
    ]),
    ...withoutStep(demand, masses),
    ...comingAlong(demand, masses, materials),
  ];
}
