import { bottleOf } from '../../../core/formula/bottle.ts';
import type { Formula, Lot, Material } from '../../../core/formula/types.ts';
import { type Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import { type PlanningPlace, planView } from '../planning.ts';
import type { Draft, Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { type FieldProblem, Fields } from './fields.ts';

type Ask = Input<'organ.dilution'>;

const byShare = (composition: Lot['composition']): [string, Decimal][] =>
  Object.entries(composition)
    .map(([key, text]): [string, Decimal] => [key, decimal(text)])
    .sort(([, a], [, b]) => b.cmp(a));

/** The half-width of the windows of a dilution, as in the formulas that come with the program (chosen, no source). */
const TOLERANCE = '0.01';

interface Asked {
  readonly formula: Formula;
  readonly g: string;
}

/**
 * The formula of a dilution: so much of the source lot that the whole has the strength, and the solvent to fill up. A lot
 * of several neat materials is diluted as it is, its strength being that of all of them together.
 */
function formulaOf(
  ask: Ask,
  place: PlanningPlace,
): { readonly asked: Asked } | { readonly problems: readonly FieldProblem[] } {
  const { lots, materials } = place.workshop;
  const byKey = new Map<string, Material>(materials.map((one) => [one.key, one]));
  const source = lots.find((lot) => lot.code === ask.lot);
  const solvent = lots.find((lot) => lot.code === ask.solvent);
  if (source === undefined) throw new HostTrouble(`There is no lot "${ask.lot}".`, 'Organ', 'Choose one.');
  const bottle = bottleOf(source, byKey);
  const fields = new Fields();
  const strength = fields.share('percent', ask.percent);
  const g = fields.positive('g', ask.g, 'g', 'above zero');
  if (ask.percent.trim() === '')
    fields.wrong('percent', 'The strength is missing.', 'Choose one or type it.');
  if (ask.g.trim() === '') fields.wrong('g', 'How much is to be made is missing.', 'Type grams, as in 20.');
  if (solvent === undefined) fields.wrong('solvent', 'No solvent is chosen.', 'Choose a bottle of solvent.');
  if (strength?.gte(bottle.strength) === true)
    fields.wrong(
      'percent',
      `${source.name} has ${plain(bottle.strength.times(100).toSignificantDigits(6))} %: it cannot be diluted to as much.`,
      'Choose a lower strength.',
    );
  const [main] = byShare(source.composition).filter(([key]) => byKey.get(key)?.kind !== 'solvent');
  const [filler] = solvent === undefined ? [] : byShare(solvent.composition);
  if (fields.problems.length > 0 || !strength || !g || !solvent || !main || !filler)
    return { problems: fields.problems };
  const fraction = plain(strength.times(main[1]).div(bottle.strength).toDecimalPlaces(12));
  const percent = plain(strength.times(100));
  const name = bottle.kind === 'neat' ? (byKey.get(main[0])?.name ?? source.name) : source.name;
  const formula: Formula = {
    id: `dilution-${source.code}-${percent}-${solvent.code}`.toLowerCase(),
    name: `${name}, to ${percent} % in ${solvent.name}`,
    batch: g,
    tolerance: TOLERANCE,
    lines: [
      { id: 'l1', material: main[0], fraction, lot: source.code },
      { id: 'l2', material: filler[0], lot: solvent.code, qs: true },
    ],
  };
  return { asked: { formula, g } };
}

const draftOf = ({ formula, g }: Asked): Draft => ({ formula: formula.id, size: { by: 'mass', g } });

/** The place as it would be with the formula in it. */
const withFormula = (place: PlanningPlace, formula: Formula): PlanningPlace => ({
  ...place,
  workshop: { ...place.workshop, formulas: [formula] },
});

/** The plan of a dilution that is not kept. @throws HostTrouble or FormulaTrouble where none can be made */
export function dilutionPlan(ask: Ask, place: PlanningPlace): Output<'organ.dilution'> {
  const found = formulaOf(ask, place);
  if ('problems' in found) return { problems: [...found.problems], plan: null };
  return { problems: [], plan: planView(draftOf(found.asked), withFormula(place, found.asked.formula)) };
}

/** Keeps the formula of a dilution and gives the draft to pour. @throws HostTrouble when something is wrong with it */
export function dilute(ask: Ask, place: PlanningPlace, keep: (formula: Formula) => void): Draft {
  const found = formulaOf(ask, place);
  if ('problems' in found) {
    const [first] = found.problems;
    throw new HostTrouble(first?.what ?? 'This cannot be diluted.', first?.field ?? null, first?.next ?? '');
  }
  keep(found.asked.formula);
  return draftOf(found.asked);
}
