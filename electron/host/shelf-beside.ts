import type { Lot } from '../../core/formula/types.ts';
import type { StartOrder } from './bench-facts.ts';

/** The other lots that hold a neat material of the formula and are not past their date: a correction may ask for them. */
export function shelfBeside(
  { formula, lots }: StartOrder,
  used: ReadonlySet<string>,
  now: string,
): { shelf?: readonly Lot[] } {
  const wanted = formula.lines.filter((line) => line.qs !== true).map((line) => line.material);
  const today = now.slice(0, 10);
  const shelf = lots.filter(
    (lot) =>
      !used.has(lot.code) &&
      (lot.bestBefore === undefined || lot.bestBefore >= today) &&
      wanted.some((material) => Number(lot.composition[material] ?? '0') > 0),
  );
  return shelf.length === 0 ? {} : { shelf };
}
