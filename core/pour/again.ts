import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import type { CorrectionLine, CorrectionRules } from './correction.ts';
import { type StartAgain, startAgain } from './correction-again.ts';
import type { StartFacts } from './events.ts';
import { lotsKnown } from './frame.ts';
import type { PourState } from './state.ts';

const zero = new Decimal(0);

const givenBy = (state: PourState, code: string): Decimal =>
  state.pours.reduce((sum, pour) => (pour.voided || pour.lot !== code ? sum : sum.plus(pour.net)), zero);

/** Starting again pours the plan from the planned bottles, which hold less by all they gave, withdrawn or not. */
export function againOf(
  state: PourState,
  lines: readonly CorrectionLine[],
  rules: CorrectionRules,
): StartAgain {
  const { plan, lots } = state.facts;
  const price = (code: string): string | undefined =>
    lotsKnown(state.facts).find((lot) => lot.code === code)?.price;
  const anew = lines.map((line, i) => {
    const step = plan.steps[i];
    if (step === undefined) return line;
    const poured = state.lines[i]?.poured ?? zero;
    const lot = lots.find((one) => one.code === step.lot);
    const shared = plan.steps.reduce(
      (sum, other, j) => (other.lot === step.lot ? sum.plus(state.lines[j]?.poured ?? zero) : sum),
      zero,
    );
    const stock =
      lot?.stock === undefined ? null : decimal(lot.stock).minus(givenBy(state, step.lot)).plus(shared);
    return { ...line, title: step.title, lot: step.lot, poured, stock };
  });
  const cost = state.pours.map(({ voided, net, stays, lot }) => {
    if (voided) return zero;
    const gram = price(lot);
    return gram === undefined ? null : net.times(stays).times(gram);
  });
  const known = cost.filter((one) => one !== null);
  const lost = known.length < cost.length ? null : known.reduce((sum, one) => sum.plus(one), zero);
  const planned = plan.steps.map((step) => decimal(step.target));
  return { ...startAgain(anew, planned, rules), lost };
}

/** The first event of the batch that begins this one anew: the same plan, from bottles that hold what is left. */
export function begunAgain(state: PourState, batch: string): { readonly type: 'started' } & StartFacts {
  const less = <L extends StartFacts['lots'][number]>(lot: L): L =>
    lot.stock === undefined
      ? lot
      : { ...lot, stock: plain(Decimal.max(decimal(lot.stock).minus(givenBy(state, lot.code)), zero)) };
  const { shelf, ...facts } = state.facts;
  return {
    ...facts,
    type: 'started',
    lots: facts.lots.map(less),
    ...(shelf === undefined ? {} : { shelf: shelf.map(less) }),
    follows: batch,
  };
}
