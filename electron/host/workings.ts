import type { BalanceLimits, Formula, Lot, Material, Plan, Step } from '../../core/formula/types.ts';
import { netVariance, scaleOf, strictLeast } from '../../core/formula/weighable.ts';
import { Decimal, decimal, plain } from '../../core/quantity/decimal.ts';

/** At most so many significant digits, plain. */
const short = (value: Decimal, digits = 5): string => plain(value.toSignificantDigits(digits));
const percent = (fraction: Decimal): string => `${short(fraction.times(100), 4)} %`;

/** What the workings are told from. */
export interface Worked {
  readonly formula: Formula;
  readonly plan: Plan;
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  readonly limits: BalanceLimits;
}

function fromFraction(step: Step, fraction: string, lot: Lot, worked: Worked): string[] {
  const total = decimal(worked.plan.total);
  const asked = total.times(decimal(fraction));
  const strength = decimal(lot.composition[step.material] ?? '0');
  const name = worked.materials.find((one) => one.key === step.material)?.name ?? step.material;
  const lines = [
    `The formula asks for ${percent(decimal(fraction))} of ${name}: ${short(total)} g × ${plain(decimal(fraction))} = ${short(asked)} g neat.`,
  ];
  if (strength.gt(0)) {
    const alone = asked.div(strength);
    lines.push(
      `Bottle ${lot.code} holds ${percent(strength)} of it: ${short(asked)} g ÷ ${plain(strength)} = ${short(alone)} g.`,
    );
    if (alone.minus(step.target).abs().gt('0.0005'))
      lines.push(
        `Other bottles of the batch bring some of it too, so ${short(decimal(step.target))} g are poured; all lines together solve one linear system.`,
      );
  }
  return lines;
}

function filling(step: Step, worked: Worked): string[] {
  const others = worked.plan.steps.filter((one) => one.line !== step.line);
  const poured = others.reduce((sum, one) => sum.plus(one.target), new Decimal(0));
  const byCode = new Map(worked.lots.map((lot) => [lot.code, lot]));
  const solvents = new Set(worked.materials.filter((one) => one.kind === 'solvent').map((one) => one.key));
  const carried = others.reduce((sum, one) => {
    const parts = Object.entries(byCode.get(one.lot)?.composition ?? {}).filter(([key]) => solvents.has(key));
    return parts.reduce((mass, [, part]) => mass.plus(decimal(part).times(one.target)), sum);
  }, new Decimal(0));
  return [
    `q.s. fills to the total: ${short(decimal(worked.plan.total))} g − ${short(poured)} g of the other pours = ${short(decimal(step.target))} g.`,
    ...(carried.gt(0)
      ? [`The other bottles already carry ${short(carried)} g of solvent into the vessel.`]
      : []),
  ];
}

function windowAndSureness(step: Step, worked: Worked): string[] {
  const { limits } = worked;
  const target = decimal(step.target);
  const scale = scaleOf(limits);
  const u = netVariance(target, scale).sqrt();
  const asked = target.times(worked.plan.tolerance);
  return [
    `Window: ${percent(decimal(worked.plan.tolerance))} of the target is ${short(asked, 3)} g, never less than one step of the display (${limits.d} g): ± ${short(decimal(step.half), 4)} g.`,
    `Standard uncertainty of the net: √(max(s, d/√6)² + (m c)²) = ${short(u, 3)} g, with s ${limits.s} g, d ${limits.d} g, c ${limits.c}; twice that is ${short(u.times(2), 3)} g against ± ${short(decimal(step.half), 4)} g: ${step.sureness}.`,
    `One drop is about ${short(decimal(step.drop).times(1000), 3)} mg; the window is ${short(decimal(step.half).times(2).div(step.drop), 2)} drops wide.`,
    `The strict pharmacopoeia rule (USP <41>: 2000 × max(s, 0.41 d)) would want ${short(strictLeast(limits), 3)} g; shown for comparison, not imposed.`,
  ];
}

/** How a target was got, step by step, so that it can be explained at the bench. */
export function workingsOf(step: Step, worked: Worked): string[] {
  const lot = worked.lots.find((one) => one.code === step.lot);
  const line = worked.formula.lines.find((one) => one.id === step.line);
  if (lot === undefined || line === undefined) return windowAndSureness(step, worked);
  const how =
    line.fraction === undefined ? filling(step, worked) : fromFraction(step, line.fraction, lot, worked);
  return [...how, ...windowAndSureness(step, worked), `Place in the order: ${step.reason}`];
}

/** Bottles that could serve a line, for choosing by hand: those that hold its material, the strongest first. */
export function bottlesFor(material: string, lots: readonly Lot[]): Lot[] {
  return lots
    .filter((lot) => Number(lot.composition[material] ?? '0') > 0)
    .sort((a, b) => Number(b.composition[material] ?? '0') - Number(a.composition[material] ?? '0'));
}
