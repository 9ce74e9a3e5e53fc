import type { Evidence } from './evidence.ts';

/** What a rule is about; progress is told for each. */
export const SKILLS = ['reading', 'zero and tare', 'pouring', 'order of the bench', 'putting right'] as const;
export type Skill = (typeof SKILLS)[number];

/** A moment that a rule names: when, ms, and what to say of it. */
export interface Moment {
  readonly at: number;
  readonly says: string;
}

/** What a rule found. `mark` from 0 to 1. */
export interface Finding {
  readonly mark: number;
  /** What was seen, in one sentence. */
  readonly says: string;
  readonly moments: readonly Moment[];
  /** What to try next, where it is another thing than the rule's own. */
  readonly tryNext?: string;
}

/** One rule: a sentence that a teacher can read and weigh, and the small function that judges by it. */
export interface Rule {
  readonly id: string;
  readonly skill: Skill;
  readonly title: string;
  /** The rule itself, as it is told. */
  readonly sentence: string;
  /** What to try next, where it was not kept. */
  readonly tryNext: string;
  /** Weight where the teacher has set none. */
  readonly weight: number;
  /** Null where the rule has nothing to judge. */
  readonly judge: (evidence: Evidence) => Finding | null;
}

export const between = (value: number, low: number, high: number): number =>
  Math.min(1, Math.max(0, (value - low) / (high - low)));

export const seconds = (ms: number): string => `${Math.max(0.1, ms / 1000).toFixed(1)} s`;

/** How many, with its noun: "1 drop", "3 drops". */
export const many = (count: number, noun: string): string => `${count} ${noun}${count === 1 ? '' : 's'}`;

/** Mean of marks; 1 for none. */
export const meanMark = (marks: readonly number[]): number =>
  marks.length === 0 ? 1 : marks.reduce((sum, mark) => sum + mark, 0) / marks.length;
