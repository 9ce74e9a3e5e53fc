import { Decimal, decimal, isDecimalText, plain } from '../quantity/decimal.ts';
import { chooseLots } from './choose-lots.ts';
import { type Demand, demandOf, SLACK, solveMasses } from './masses.ts';
import { stepsOf } from './steps.ts';
import { FormulaTrouble, type Problem } from './trouble.ts';
import type { BalanceLimits, Formula, FormulaLine, Lot, Material, Plan } from './types.ts';
import { type Circumstances, warningsOf } from './warnings.ts';
import { whyNot } from './weak.ts';
import { scaleOf } from './weighable.ts';

/** Circumstances of a plan, and the order in which a person wants to pour (line ids; those not named follow). */
export interface PlanOptions extends Circumstances {
  readonly order?: readonly string[];
}

/** More than floating point can be wrong in the sum of a formula's fractions. */
const ROUGH = 1e-6;

function checkLine(line: FormulaLine, materials: ReadonlyMap<string, Material>): Problem[] {
  const field = `line ${line.id}`;
  if (!materials.has(line.material))
    return [
      {
        field,
        what: `there is no material "${line.material}"`,
        next: 'Name a material that is in the Organ.',
      },
    ];
  if (line.qs === true)
    return line.fraction === undefined
      ? []
      : [{ field, what: 'a q.s. line takes no fraction', next: 'Leave one of them out.' }];
  if (line.fraction === undefined)
    return [{ field, what: 'the fraction is missing', next: 'Write it, or make the line q.s.' }];
  if (isDecimalText(line.fraction) && Number(line.fraction) > 0 && Number(line.fraction) <= 1) return [];
  return [
    {
      field,
      what: `the fraction ${line.fraction} is not above 0 and at most 1`,
      next: 'Write a decimal fraction; "0.05" is 5 %.',
    },
  ];
}

/** Refuses what no bottle could make good. */
function checkFormula(formula: Formula, materials: ReadonlyMap<string, Material>): void {
  const problems: Problem[] = [];
  if (!decimal(formula.batch).gt(0))
    problems.push({
      field: 'batch',
      what: `${formula.batch} g is not above 0`,
      next: 'Give a mass above 0.',
    });
  const tolerance = decimal(formula.tolerance);
  if (!tolerance.gt(0) || tolerance.gte(1))
    problems.push({
      field: 'tolerance',
      what: `${formula.tolerance} is not between 0 and 1`,
      next: 'Write a fraction; "0.01" is 1 %.',
    });
  if (formula.lines.length === 0)
    problems.push({ field: 'lines', what: 'the formula holds no line', next: 'Add one.' });
  if (new Set(formula.lines.map((line) => line.id)).size < formula.lines.length)
    problems.push({ field: 'lines', what: 'two lines have the same id', next: 'Give each its own.' });
  problems.push(...formula.lines.flatMap((line) => checkLine(line, materials)));
  if (formula.lines.filter((line) => line.qs === true).length > 1)
    problems.push({
      field: 'lines',
      what: 'two lines fill to the total',
      next: 'Only one line may be q.s.',
    });
  if (problems.length > 0) throw new FormulaTrouble(problems);
  const roughly = formula.lines.reduce((total, line) => total + Number(line.fraction ?? '0'), 0);
  if (roughly < 1 - ROUGH) return;
  const sum = formula.lines.reduce((total, line) => total.plus(line.fraction ?? '0'), new Decimal(0));
  if (sum.gt(SLACK.plus(1)))
    throw new FormulaTrouble([
      {
        field: 'lines',
        what: `the fractions add up to ${plain(sum)}: a formula over 100 %`,
        next: 'Lower them until they add up to 1 at most.',
      },
    ]);
}

/** Chooses and solves, with stronger bottles where the first choice does not fit into the batch. */
function settle(
  formula: Formula,
  materials: ReadonlyMap<string, Material>,
  lots: readonly Lot[],
  balance: BalanceLimits,
  today: string | undefined,
): { demand: Demand; masses: Decimal[] } {
  const choice = chooseLots(formula, materials, lots, balance, today);
  for (;;) {
    const demand = demandOf(formula, choice.bottles());
    const { masses, short } = solveMasses(demand);
    if (!short) return { demand, masses };
    const missing = masses.reduce((sum, mass) => (mass.lt(0) ? sum.minus(mass) : sum), new Decimal(0));
    if (!choice.stronger(missing.toNumber()))
      throw whyNot(demand, masses, (key) => materials.get(key)?.kind !== 'solvent');
  }
}

/**
 * Plans a batch from the bottles at hand. What the pours bring in of each wanted material is the batch times its
 * fraction; the q.s. line makes the total, less all solvent that the other bottles carry in. Masses in g, targets
 * exact to 1e-12 g, their sum exactly the total.
 * @param lots every bottle on the shelf; a line that names none is given one
 * @throws FormulaTrouble when the formula is not whole, a line finds no bottle, or the bottles cannot make it: it then
 *   names the bottle that is too weak and the least strength that would do
 */
export function plan(
  formula: Formula,
  materials: readonly Material[],
  lots: readonly Lot[],
  balance: BalanceLimits,
  options: PlanOptions = {},
): Plan {
  const byKey = new Map(materials.map((material) => [material.key, material]));
  checkFormula(formula, byKey);
  const { demand, masses } = settle(formula, byKey, lots, balance, options.today);
  const placed = stepsOf(formula, demand, masses, byKey, scaleOf(balance), options.order);
  return {
    total: formula.batch,
    tolerance: formula.tolerance,
    steps: placed.steps,
    warnings: [
      ...warningsOf(formula, demand, masses, placed.steps, byKey, balance, options),
      ...placed.warnings,
    ],
  };
}
