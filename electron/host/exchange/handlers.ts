import type { Rooms } from '../rooms.ts';

/** Answers the calls about bringing lists in and handing them out. */
export function exchangeHandlers(_rooms: Rooms) {
  return {};
}
