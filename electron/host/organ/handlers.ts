import { shelves } from '../organ.ts';
import type { Rooms } from '../rooms.ts';

/** Answers the calls about materials, lots and stock. */
export function organHandlers({ store }: Rooms) {
  return {
    'organ.shelves': () => {
      const { materials, lots } = store.workshop.read();
      return shelves(materials, lots);
    },
  };
}
