import { Decimal, decimal } from '../quantity/decimal.ts';
import type { Bottle } from './bottle.ts';
import { ETHANOL, ETHANOL_CAUTION, isOfNeat, NEAT_CAUTION, SOLID_CAUTION } from './defaults.ts';
import { dropOf } from './drop-mass.ts';
import type { Demand, Share } from './masses.ts';
import { inPourOrder, type Placed, reasonOf, reorder } from './order.ts';
import type { Formula, Material, PlanWarning, Step } from './types.ts';
import { halfWindow, type Scale, sureness } from './weighable.ts';

/** Targets are written with so many decimals of a gram; the largest takes up the rounding, so that they add up exactly. */
const DECIMALS = 12;

/** From this mass fraction of ethanol on a bottle is warned of as burning (common practice, no source). */
const BURNS = new Decimal('0.3');

/** A part under this is not warned of by itself (common practice, no source). */
const WORTH_WARNING = new Decimal('0.01');

interface Draft extends Placed {
  readonly share: Share;
}

/** Rounds the masses and gives the rounding to the q.s. line, or to the largest pour: the sum is the total exactly. */
export function roundedTargets(demand: Demand, masses: readonly Decimal[]): Decimal[] {
  const rounded = masses.map((mass) => mass.toDecimalPlaces(DECIMALS));
  const sum = rounded.reduce((total, mass) => total.plus(mass), new Decimal(0));
  const fill = demand.shares.findIndex(({ lines }) => lines[0]?.qs === true);
  const largest = rounded.reduce((best, mass, at) => (mass.gt(rounded[best] ?? 0) ? at : best), 0);
  const taker = fill >= 0 && rounded[fill]?.gt(0) === true ? fill : largest;
  return rounded.map((mass, at) => (at === taker ? mass.plus(demand.total.minus(sum)) : mass));
}

/** What to mind with a bottle: the cautions of what is in it, by its kind. */
export function cautionsOf(bottle: Bottle, materials: ReadonlyMap<string, Material>): string[] {
  const found = new Set<string>();
  for (const [key, fraction] of bottle.parts) {
    const material = materials.get(key);
    if (fraction.lt(WORTH_WARNING) || (material?.kind === 'solvent' && key === ETHANOL)) continue;
    for (const caution of material?.cautions ?? [])
      if (bottle.kind === 'neat' || !isOfNeat(caution)) found.add(caution);
  }
  if (bottle.kind === 'neat' && found.size === 0) found.add(NEAT_CAUTION);
  if (bottle.parts.get(ETHANOL)?.gte(BURNS) === true)
    for (const caution of materials.get(ETHANOL)?.cautions ?? [ETHANOL_CAUTION]) found.add(caution);
  return [...found];
}

/** A neat bottle of a solid; its dilution pours. */
const isSolid = (bottle: Bottle, material: Material | undefined): boolean =>
  bottle.kind === 'neat' && material?.solid === true;

function draft(
  share: Share,
  target: Decimal,
  materials: ReadonlyMap<string, Material>,
  tolerance: Decimal,
  scale: Scale,
): Draft[] {
  const line = share.lines[0];
  if (line === undefined || !target.gt(0)) return [];
  return [
    {
      share,
      line: line.id,
      title: share.bottle.lot.name,
      target,
      half: halfWindow(target, tolerance, scale.d),
      drop: Number(dropOf(share.bottle)),
      kind: share.bottle.kind,
      solid: isSolid(share.bottle, materials.get(line.material)),
      qs: line.qs === true,
    },
  ];
}

function stepOf(
  one: Draft,
  materials: ReadonlyMap<string, Material>,
  tolerance: Decimal,
  scale: Scale,
  byHand: boolean,
): Step {
  const material = one.share.lines[0]?.material ?? '';
  const known = materials.get(material);
  const cautions = cautionsOf(one.share.bottle, materials);
  if (one.solid && !cautions.includes(SOLID_CAUTION)) cautions.push(SOLID_CAUTION);
  return {
    line: one.line,
    material,
    lot: one.share.bottle.lot.code,
    title: one.title,
    note: known?.note ?? null,
    family: known?.family ?? 'unsorted',
    kind: one.kind,
    solid: one.solid,
    qs: one.qs,
    target: one.target.toFixed(),
    half: one.half.toDecimalPlaces(DECIMALS).toFixed(),
    drop: dropOf(one.share.bottle),
    sureness: sureness(one.target, one.half, tolerance, scale),
    dropTooLarge: one.half.toNumber() * 2 < one.drop,
    cautions,
    reason: reasonOf(one, byHand),
  };
}

/** The steps of a plan in their order, each with its window, its sureness and its reason. */
export function stepsOf(
  formula: Formula,
  demand: Demand,
  masses: readonly Decimal[],
  materials: ReadonlyMap<string, Material>,
  scale: Scale,
  order: readonly string[] | undefined,
): { steps: Step[]; warnings: PlanWarning[] } {
  const tolerance = decimal(formula.tolerance);
  const targets = roundedTargets(demand, masses);
  const drafts = demand.shares.flatMap((share, at) =>
    draft(share, targets[at] ?? new Decimal(0), materials, tolerance, scale),
  );
  const proposed = inPourOrder(drafts);
  const placed = order === undefined ? { steps: proposed, warnings: [] } : reorder(proposed, order);
  const byHand = new Set(order ?? []);
  return {
    steps: placed.steps.map((one) => stepOf(one, materials, tolerance, scale, byHand.has(one.line))),
    warnings: placed.warnings,
  };
}
