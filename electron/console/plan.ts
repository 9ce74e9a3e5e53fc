import { type FormulaInFile, readFormulaFile, readMass } from '../../core/formula/file.ts';
import { plan } from '../../core/formula/plan.ts';
import { FormulaTrouble } from '../../core/formula/trouble.ts';
import { Decimal, decimal } from '../../core/quantity/decimal.ts';
import { limitsFor } from '../host/limits.ts';
import { readJson } from './files.ts';
import type { Talk } from './talk.ts';
import { grams } from './tell.ts';

/** Runs a reading of the file; its troubles then name the file as well as the field. */
function inFile<T>(file: string, read: () => T): T {
  try {
    return read();
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    throw new FormulaTrouble(cause.problems.map((one) => ({ ...one, field: `${file}: ${one.field}` })));
  }
}

/**
 * A formula file, with another batch size where one is given ("30g").
 * @throws WrongInput when the file cannot be read, FormulaTrouble when what it says cannot be used
 */
export function formulaFrom(file: string, batch: string | null): FormulaInFile {
  const read = inFile(file, () => readFormulaFile(readJson(file)));
  if (batch === null) return read;
  return { ...read, formula: { ...read.formula, batch: readMass(batch, '--batch') } };
}

/**
 * Writes the plan of a formula file as one line of JSON, for a balance of 0.01 g. Masses in g.
 * @returns 0
 * @throws WrongInput, FormulaTrouble
 */
export function planCommand(file: string, batch: string | null, talk: Talk): number {
  const { formula, materials, lots } = formulaFrom(file, batch);
  const limits = limitsFor(null);
  const made = plan(formula, materials, lots, limits);
  const zero = new Decimal(0);
  talk.emit({
    formula: formula.name,
    total_g: made.total,
    tolerance: made.tolerance,
    readability_g: limits.d,
    steps: made.steps.map((step) => {
      const target = decimal(step.target);
      const low = Decimal.max(target.minus(step.half), zero);
      return {
        line: step.line,
        material: step.material,
        lot: step.lot,
        title: step.title,
        target_g: grams(target),
        window_g: [grams(low), grams(target.plus(step.half))],
        drop_g: step.drop,
        drop_too_large: step.dropTooLarge,
        sureness: step.sureness,
        reason: step.reason,
      };
    }),
    warnings: made.warnings.map(({ line, what, text }) => ({ line, what, text })),
  });
  return 0;
}
