import type { Formula, Material } from '../../core/formula/types.ts';
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

function formulaView(formula: Formula, materials: ReadonlyMap<string, Material>): FormulaView {
  return {
    id: formula.id,
    name: formula.name,
    batch: formula.batch,
    tolerance: percent(decimal(formula.tolerance), 1),
    lines: formula.lines.map((line) => {
      const material = materials.get(line.material);
      return {
        id: line.id,
        material: material?.name ?? line.material,
        note: material?.note ?? null,
        family: material?.family ?? '',
        percent: line.fraction === undefined ? 'q.s.' : percent(decimal(line.fraction), 3),
        lot: line.lot ?? '',
        qs: line.qs === true,
      };
    }),
  };
}

/** Every formula of the workshop, by name. */
export function formulaViews(workshop: Workshop): FormulaView[] {
  const materials = new Map(workshop.materials.map((one) => [one.key, one]));
  return workshop.formulas.map((formula) => formulaView(formula, materials));
}
