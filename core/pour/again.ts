import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import type { CorrectionLine, CorrectionRules } from './correction.ts';
import { type StartAgain, startAgain } from './correction-again.ts';
import type { StartFacts } from './events.ts';
import { lotsByCode } from './frame.ts';
import type { PourState } from './state.ts';

const zero = new Decimal(0);

/** What each bottle gave, withdrawn or not, by lot. */
function givenBy(state: PourState): ReadonlyMap<string, Decimal> {
  const given = new Map<string, Decimal>();
  for (const { lot, net, voided } of state.pours)
    if (!voided) given.set(lot, (given.get(lot) ?? zero).plus(net));
  return given;
}

/** Starting again pours the plan from the planned bottles, which hold less by all they gave, withdrawn or not. */
export function againOf(
  state: PourState,
  lines: readonly CorrectionLine[],
  rules: CorrectionRules,
): StartAgain {
  const { plan } = state.facts;
  const lots = lotsByCode(state.facts);
  const given = givenBy(state);
  const shared = new Map<string, Decimal>();
  for (const [i, step] of plan.steps.entries())
    shared.set(step.lot, (shared.get(step.lot) ?? zero).plus(state.lines[i]?.poured ?? zero));
  const anew = lines.map((line, i) => {
    const step = plan.steps[i];
    if (step === undefined) return line;
    const held = lots.get(step.lot)?.stock;
    const stock =
      held === undefined
        ? null
        : decimal(held)
            .minus(given.get(step.lot) ?? zero)
            .plus(shared.get(step.lot) ?? zero);
    return { ...line, title: step.title, lot: step.lot, poured: state.lines[i]?.poured ?? zero, stock };
  });
  const cost = state.pours.map(({ voided, net, stays, lot }) => {
    if (voided) return zero;
    const gram = lots.get(lot)?.price;
    return gram === undefined ? null : net.times(stays).times(gram);
  });
  const known = cost.filter((one) => one !== null);
  const lost = known.length < cost.length ? null : known.reduce((sum, one) => sum.plus(one), zero);
  const planned = plan.steps.map((step) => decimal(step.target));
  return { ...startAgain(anew, planned, rules), lost };
}

/** The first event of the batch that begins this one anew: the same plan, from bottles that hold what is left. */
export function begunAgain(state: PourState, batch: string): { readonly type: 'started' } & StartFacts {
  const given = givenBy(state);
  const less = <L extends StartFacts['lots'][number]>(lot: L): L =>
    lot.stock === undefined
      ? lot
      : { ...lot, stock: plain(Decimal.max(decimal(lot.stock).minus(given.get(lot.code) ?? zero), zero)) };
  const { shelf, ...facts } = state.facts;
  return {
    ...facts,
    type: 'started',
    lots: facts.lots.map(less),
    ...(shelf === undefined ? {} : { shelf: shelf.map(less) }),
    follows: batch,
  };
}
