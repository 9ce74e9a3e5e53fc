import { fold } from '../../core/pour/evolve.ts';
import { netTotal } from '../../core/pour/state.ts';
import { typedIn } from '../../core/pour/typed-in.ts';
import { plain } from '../../core/quantity/decimal.ts';
import { draw, type PlanningPlace } from './planning.ts';
import type { Journal } from './store/journal.ts';
import type { Input } from './table.ts';

/** How the record calls the way the figures came. */
export const SHEET_LINK = 'typed in from a sheet';

/**
 * Stores a batch from the figures of a sheet, as a closed one.
 * @returns its id
 * @throws SheetRefusal, PourRefusal or RangeError where the figures cannot be; then nothing is stored
 */
export function takeSheet(
  journal: Journal,
  { draft, operator, vessel, lines, closing }: Input<'pour.typed-in'>,
  place: PlanningPlace,
  { id, at }: { readonly id: string; readonly at: number },
): string {
  const { formula, plan } = draw(draft, place);
  const used = new Set(plan.steps.map((step) => step.lot));
  const facts = {
    operator: operator?.trim() || 'not named',
    balance: { name: SHEET_LINK, link: SHEET_LINK, limits: place.limits },
    formula,
    plan,
    materials: place.workshop.materials,
    lots: place.workshop.lots.filter((lot) => used.has(lot.code)),
  };
  const given = lines.map(({ line, net, before, after }) => ({
    line,
    ...(net === undefined ? {} : { net }),
    ...(before === undefined ? {} : { before }),
    ...(after === undefined ? {} : { after }),
  }));
  const sheet = {
    lines: given,
    ...(vessel === undefined ? {} : { vessel }),
    ...(closing === undefined ? {} : { closing }),
  };
  const events = typedIn(facts, sheet, at);
  const stamp = new Date(at).toISOString();
  journal.begin({ id, name: formula.name, at: stamp }, events, { total: plain(netTotal(fold(events))) });
  return id;
}
