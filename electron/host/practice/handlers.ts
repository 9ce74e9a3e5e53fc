import type { Rooms } from '../rooms.ts';

/** Answers the calls about lessons, learners and scores. */
export function practiceHandlers(_rooms: Rooms) {
  return {};
}
