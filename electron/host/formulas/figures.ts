import type { z } from 'zod';
import { smallestSureBatch } from '../../../core/formula/batch.ts';
import { plan } from '../../../core/formula/plan.ts';
import type { Plan } from '../../../core/formula/types.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import type { PlanningPlace } from '../planning.ts';
import type { FormulaVersion } from '../store/formula-versions.ts';
import type * as table from '../table-written.ts';
import { HostTrouble, troubleOf } from '../trouble.ts';

type Figures = z.infer<typeof table.FormulaFigures>;

function costOf(made: Plan, lots: PlanningPlace['workshop']['lots']): NonNullable<Figures['cost']> {
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  const missing: string[] = [];
  let sum = new Decimal(0);
  for (const step of made.steps) {
    const lot = byCode.get(step.lot);
    if (lot?.price === undefined) missing.push(`${lot?.name ?? step.title} (${step.lot})`);
    else sum = sum.plus(decimal(lot.price).times(step.target));
  }
  return {
    batch: sum.toFixed(2),
    per100: sum.times(100).div(decimal(made.total)).toFixed(2),
    missing: [...new Set(missing)],
  };
}

/**
 * Cost of a batch and of 100 g by the bottles that a plan takes, and the smallest batch that is surely weighed.
 * @param batch g; as written where absent
 * @throws HostTrouble when the batch is not above zero
 */
export function figuresOf(version: FormulaVersion, batch: string | undefined, place: PlanningPlace): Figures {
  const formula = { ...version.formula, batch: batch ?? version.formula.batch };
  if (!decimal(formula.batch).gt(0))
    throw new HostTrouble(
      `A batch of ${formula.batch} g cannot be poured.`,
      'batch',
      'Give a mass above zero, in grams.',
    );
  const { workshop, limits, today } = place;
  try {
    const made = plan(formula, workshop.materials, workshop.lots, limits, { today });
    const sure = smallestSureBatch(formula, {
      materials: workshop.materials,
      lots: workshop.lots,
      balance: limits,
      today,
    });
    return { batch: formula.batch, sure, cost: costOf(made, workshop.lots), trouble: null };
  } catch (cause) {
    const { what, next } = troubleOf(cause, 'Formulas');
    return { batch: formula.batch, sure: null, cost: null, trouble: { what, next } };
  }
}
