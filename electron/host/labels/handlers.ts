import type { Rooms } from '../rooms.ts';

/** Answers the calls about labels and the codes on them. */
export function labelHandlers(_rooms: Rooms) {
  return {};
}
