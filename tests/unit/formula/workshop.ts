import { defaultMaterial } from '../../../core/formula/defaults.ts';
import type { BalanceLimits, Formula, Lot, Material, Plan } from '../../../core/formula/types.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';

/** The common jewellery balance: 200 g x 0.01 g, repeatability at its floor. */
export const JEWELLERY: BalanceLimits = { d: '0.01', s: '0.0041', c: '0.0001', capacity: '200' };

export const ETHANOL_96: Lot = {
  code: 'ET96',
  name: 'Ethanol 96 % vol',
  composition: { ethanol: '0.938384', water: '0.061616' },
};
export const ABSOLUTE: Lot = { code: 'ETA', name: 'Ethanol, absolute', composition: { ethanol: '1' } };
export const WATER: Lot = { code: 'WA', name: 'Water', composition: { water: '1' } };
export const GLYCOL: Lot = {
  code: 'DPG',
  name: 'Dipropylene glycol',
  composition: { 'dipropylene-glycol': '1' },
};

export const neat = (key: string, more: Partial<Lot> = {}): Lot => ({
  code: key.toUpperCase(),
  name: `${key} oil`,
  composition: { [key]: '1' },
  ...more,
});

/** A dilution of `key` at `strength` in one solvent. */
export const dilution = (
  key: string,
  strength: string,
  solvent = 'ethanol',
  more: Partial<Lot> = {},
): Lot => ({
  code: `${key.toUpperCase()}-${strength}`,
  name: `${key} at ${strength} in ${solvent}`,
  composition: { [key]: strength, [solvent]: new Decimal(1).minus(strength).toString() },
  ...more,
});

/** Materials for all that is in the lots, with the defaults. */
export const materialsOf = (lots: readonly Lot[]): Material[] =>
  [...new Set(lots.flatMap((lot) => Object.keys(lot.composition)))].map((key) => defaultMaterial(key));

/** A formula from "material fraction lot" lines; "qs" in place of the fraction marks the q.s. line, no lot leaves it free. */
export const formula = (batch: string, lines: readonly string[], tolerance = '0.01'): Formula => ({
  id: 'trial',
  name: 'Trial',
  batch,
  tolerance,
  lines: lines.map((text, at) => {
    const [material = '', share = '', lot] = text.split(' ');
    return {
      id: `l${at + 1}`,
      material,
      ...(share === 'qs' ? { qs: true } : { fraction: share }),
      ...(lot === undefined ? {} : { lot }),
    };
  }),
});

/** What the pours of a plan bring in of each material, as a fraction of their sum. */
export function composition(plan: Plan, lots: readonly Lot[]): Map<string, Decimal> {
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  const sums = new Map<string, Decimal>();
  let total = new Decimal(0);
  for (const step of plan.steps) {
    total = total.plus(step.target);
    for (const [key, fraction] of Object.entries(byCode.get(step.lot)?.composition ?? {}))
      sums.set(key, (sums.get(key) ?? new Decimal(0)).plus(decimal(step.target).times(fraction)));
  }
  return new Map([...sums].map(([key, mass]) => [key, mass.div(total)]));
}

/** The target of a line, in g. */
export const target = (plan: Plan, line: string): string =>
  plan.steps.find((step) => step.line === line)?.target ?? 'no step';
