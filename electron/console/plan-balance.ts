import { rememberedChoice } from '../host/balances.ts';
import { balanceSetting, benchIds } from '../host/benches.ts';
import { knownOf, type LimitsPlace, originsOf } from '../host/care/standing.ts';
import type { Store } from '../host/store/store.ts';
import type { PlanBalance } from './plan.ts';
import { withStore } from './records.ts';
import { WrongInput } from './wrong-input.ts';

/** No balance is connected while a plan is written: what is remembered of it counts. */
const NOBODY: LimitsPlace['bench'] = { live: { reading: null }, balance: null };

function benchBalance({ workshop, care, folder }: Store, named: string | null): PlanBalance {
  const ids = benchIds(workshop);
  const id = named ?? ids[0] ?? '';
  if (!ids.includes(id))
    throw new WrongInput(
      `This workshop has no bench ${id}: its benches are ${ids.join(', ')}.`,
      '--bench',
      'Name one of these, or leave --bench out for the first.',
    );
  const choice = rememberedChoice(workshop, balanceSetting(id));
  if (choice === null)
    throw new WrongInput(
      `No balance was ever chosen on bench ${id} of this workshop.`,
      folder,
      'Choose one on the Balance screen, name another bench with --bench, or leave --database out for the usual limits.',
    );
  const place: LimitsPlace = { bench: NOBODY, balances: { chosen: () => choice }, store: { care } };
  const known = knownOf(place);
  const { name } = known.profile;
  return {
    words: `the balance of bench ${id}, ${name === '' ? known.identity.text : name}`,
    limits: known.limits,
    from: originsOf(place, known),
  };
}

/**
 * The balance of a bench of the workshop in a folder, by what its profile and its checks say; the first bench for null.
 * @throws WrongInput, StoreTrouble
 */
export const workshopBalance = (database: string, bench: string | null): Promise<PlanBalance> =>
  withStore(database, (store) => benchBalance(store, bench));
