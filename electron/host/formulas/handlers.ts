import { applyRemedy, forgetDilution, pendingDilution } from '../dilutions.ts';
import { formulaViews } from '../formulas.ts';
import { draw, planView, remediesOf } from '../planning.ts';
import { placeOf, type Rooms } from '../rooms.ts';
import type { Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';

/** Answers the calls about formulas and their plans. */
export function formulaHandlers(rooms: Rooms) {
  const { store } = rooms;
  return {
    'formulas.list': () => formulaViews(store.workshop.read()),
    'formulas.plan': (draft: Input<'formulas.plan'>) => planView(draft, placeOf(rooms)),
    'formulas.remedy': ({ draft, line, remedy }: Input<'formulas.remedy'>) => {
      const place = placeOf(rooms);
      const found = remediesOf(draw(draft, place), line, place)[remedy];
      if (found === undefined)
        throw new HostTrouble('This remedy is not there any more.', 'Formulas', 'Look at the plan again.');
      return applyRemedy(draft, found, store.workshop);
    },
    'formulas.waiting': () => pendingDilution(store.workshop),
    'formulas.forget': () => {
      forgetDilution(store.workshop);
      return {};
    },
  };
}
