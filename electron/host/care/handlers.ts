import type { Rooms } from '../rooms.ts';

/** Answers the calls about the care of a balance: profile, checks, history. */
export function careHandlers(_rooms: Rooms) {
  return {};
}
