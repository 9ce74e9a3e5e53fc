import type { ChoiceKind } from '../../core/pour/events.ts';

/** A learner by script: what is done well, and what is not. Shares are of the times it comes up. */
export interface Character {
  /** From a figure known to rest until it is taken, ms; below zero it is taken so long before. */
  readonly waits: number;
  readonly zeroes: boolean;
  /** Mixes gross and net up, and forgets the tare key. */
  readonly forgetsTare: boolean;
  /** The stream ends when the display shows so many drops to go; the rest is counted out. */
  readonly stopsAt: number;
  /** Drops come in threes, without a look between. */
  readonly heavy: boolean;
  readonly freshPipettes: number;
  readonly heeds: number;
  readonly checks: boolean;
  readonly readsLots: number;
  readonly chooses: readonly ChoiceKind[];
}

const CAREFUL: Character = {
  waits: 1300,
  zeroes: true,
  forgetsTare: false,
  stopsAt: 8,
  heavy: false,
  freshPipettes: 1,
  heeds: 1,
  checks: true,
  readsLots: 1,
  chooses: ['withdraw-unmixed', 'least'],
};

export const CHARACTERS = {
  careful: CAREFUL,
  'reads too early': { ...CAREFUL, waits: -450 },
  'forgetful of tare': { ...CAREFUL, zeroes: false, forgetsTare: true, checks: false },
  'heavy-handed': { ...CAREFUL, stopsAt: 1, heavy: true, chooses: ['least'] },
  hasty: {
    ...CAREFUL,
    waits: -150,
    zeroes: false,
    stopsAt: 3,
    heavy: true,
    freshPipettes: 0.3,
    heeds: 0.3,
    checks: false,
    readsLots: 0.6,
    chooses: ['keep'],
  },
} as const satisfies Record<string, Character>;
export type CharacterName = keyof typeof CHARACTERS;

/** Whose fault each lesson of the course is about: a teacher would let none of them pass it. */
export const FAULT_OF: Readonly<Record<string, readonly CharacterName[]>> = {
  'level-and-zero': ['forgetful of tare'],
  'settled-figure': ['reads too early'],
  'one-drop': ['heavy-handed'],
  'tare-and-gross': ['forgetful of tare'],
  'one-gram': ['heavy-handed'],
  'stop-in-time': ['heavy-handed'],
  'small-amount': ['heavy-handed'],
  'ten-per-cent': ['heavy-handed'],
  'clean-bench': ['hasty'],
  overpour: ['hasty'],
  'draughty-bench': ['reads too early'],
  'check-weight': ['forgetful of tare', 'reads too early'],
  accord: ['heavy-handed'],
};
