import type { Rooms } from '../rooms.ts';
import { loadDemo, startEmpty, workshopState } from './first-run.ts';

/** Answers the calls about bringing lists in and handing them out. */
export function exchangeHandlers({ store, balances }: Rooms) {
  return {
    'workshop.state': () => workshopState(store),
    'workshop.demo': async () => {
      loadDemo(store, new Date().toISOString());
      await balances.choose({ kind: 'simulated' });
      return workshopState(store);
    },
    'workshop.start-empty': () => {
      startEmpty(store);
      return workshopState(store);
    },
  };
}
