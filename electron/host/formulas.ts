import type { Formula } from '../../core/formula/types.ts';
import { decimal } from '../../core/quantity/decimal.ts';
import type { Workshop } from './store/workshop.ts';
import type { FormulaView } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { percent } from './view/figures.ts';

/**
 * The formula with this id, at another batch size where one is given; one that came without versions is its first.
 * @throws HostTrouble when there is none
 */
export function formulaOf(workshop: Workshop, id: string, batch?: string): Formula {
  const found = workshop.formulas.find((one) => one.id === id);
  if (found === undefined)
    throw new HostTrouble(`There is no formula "${id}".`, 'Formulas', 'Choose one from the list.');
  const formula = { version: 1, ...found };
  if (batch === undefined) return formula;
  if (!decimal(batch).gt(0))
    throw new HostTrouble(
      `A batch of ${batch} g cannot be poured.`,
      'batch',
      'Give a mass above zero, in grams.',
    );
  return { ...formula, batch };
}

/** Orders names as a person reads them. */
const byName = new Intl.Collator('en');

/** Every formula of the workshop, by name; its lines are told by its own sheet. */
export function formulaViews(formulas: readonly Formula[]): FormulaView[] {
  return formulas
    .map(({ id, name, batch, tolerance, lines }) => ({
      id,
      name,
      batch,
      tolerance: percent(decimal(tolerance), 1),
      lines: lines.length,
    }))
    .sort((a, b) => byName.compare(a.name, b.name));
}
