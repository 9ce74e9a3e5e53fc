import type { Formula, Lot, Material } from '../formula/types.ts';

/** How the room about the simulated balance is. */
export const ROOMS = ['quiet', 'normal', 'draughty'] as const;
export type RoomName = (typeof ROOMS)[number];

/** What an answer must come to, from figures that the learner read. */
export type Wanted =
  /** Reading `of` less reading `less`, g. */
  | { readonly from: 'difference'; readonly of: string; readonly less: string }
  /** The same over the count of drops, mg. */
  | { readonly from: 'drop'; readonly of: string; readonly less: string; readonly count: string }
  /** One difference and one reading after a tare, added, g. */
  | { readonly from: 'sum'; readonly of: string; readonly less: string; readonly and: string }
  /** Whether a reading lies within `limit` g of `nominal` g: "inside" or "outside". */
  | { readonly from: 'limit'; readonly of: string; readonly nominal: string; readonly limit: string };

interface Says {
  readonly id: string;
  /** What the hand does now. */
  readonly says: string;
}

/** One guided step of an exercise that is no whole pour. */
export type ExerciseStep =
  /** Something to look at; the learner says that it is so. */
  | (Says & { readonly do: 'look' })
  /** The empty pan at zero: the zero key where it is not. */
  | (Says & { readonly do: 'zero' })
  | (Says & { readonly do: 'put'; readonly what: 'vessel' | 'weight' })
  | (Says & { readonly do: 'read' })
  /** About so much is poured on, g; so many drops where `drops` is given. */
  | (Says & { readonly do: 'add'; readonly g: string; readonly drops?: number })
  /** The display is brought to zero with the vessel on it. */
  | (Says & { readonly do: 'tare' })
  /** How many drops fell, typed. */
  | (Says & { readonly do: 'count' })
  | (Says & { readonly do: 'answer'; readonly unit: 'g' | 'mg' | ''; readonly wanted: Wanted })
  | (Says & { readonly do: 'off' });

/** A whole pour, by the engine of Pour, with a small organ of its own. */
export interface PourTask {
  readonly engine: 'pour';
  readonly formula: Formula;
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  /** Bottles that stand there to be chosen from, the wrong ones among them; absent, a bottle is confirmed by eye. */
  readonly shelf?: readonly string[];
  /** On the simulated balance so many drops too many fall onto this line, near its end. */
  readonly slip?: { readonly line: string; readonly drops: number };
  readonly cautions: 'shown' | 'required';
}

/** Guided steps by the engine of exercises. */
export interface ExerciseTask {
  readonly engine: 'exercise';
  readonly steps: readonly ExerciseStep[];
  /** What stands on the pan, g: the simulated one is made so heavy, give or take `spread`. */
  readonly object: { readonly g: string; readonly spread: string };
}

export interface Lesson {
  readonly id: string;
  readonly title: string;
  /** What is done, why, and what good looks like; in plain words. */
  readonly what: string;
  readonly why: string;
  readonly good: string;
  readonly cautions: readonly string[];
  /** Ids of the rules that the lesson is there for: each counts several times over in it. */
  readonly about: readonly string[];
  /** About how long it takes, 2 to 10. */
  readonly minutes: number;
  /** It is to be done in these minutes, calmly: more than that costs a little, haste gains nothing. */
  readonly timed?: true;
  readonly room: RoomName;
  readonly task: PourTask | ExerciseTask;
}
