import type { Deed } from './deeds.ts';
import { SKILLS, type Skill } from './rule.ts';
import type { Judged } from './score.ts';

export interface Learner {
  readonly id: string;
  readonly name: string;
  /** RFC 3339. */
  readonly added: string;
}

/** Learners that are taught together. */
export interface Class {
  readonly id: string;
  readonly name: string;
  readonly learners: readonly string[];
}

/** One lesson that was done to its end, as it is kept. Never changed afterwards. */
export interface Attempt {
  readonly learner: string;
  readonly lesson: string;
  readonly title: string;
  /** RFC 3339. */
  readonly began: string;
  readonly ended: string;
  /** The balance it was done on, in words, and its display step, g. */
  readonly balance: string;
  readonly d: string;
  readonly score: number | null;
  readonly findings: readonly Judged[];
  readonly next: { readonly rule: string; readonly says: string } | null;
  readonly deeds: readonly Deed[];
  /** The batches it poured in the store of Practice; none for an exercise. */
  readonly batches: readonly string[];
  /** Every reading, packed as base64. */
  readonly trace: string;
}

/** What progress is told from. */
export type AttemptMark = Pick<Attempt, 'lesson' | 'ended' | 'score' | 'findings'>;

/** A lesson is passed from this score on, where the teacher has set no other. */
export const PASS_MARK = 70;

export interface LessonProgress {
  readonly lesson: string;
  readonly attempts: number;
  readonly best: number | null;
  readonly last: number | null;
  readonly passed: boolean;
  /** When it was first passed, RFC 3339. */
  readonly passedAt: string | null;
}

/** How one learner stands with one lesson. Attempts come oldest first. */
export function lessonProgress(
  lesson: string,
  attempts: readonly AttemptMark[],
  passMark: number,
): LessonProgress {
  const own = attempts.filter((one) => one.lesson === lesson);
  const scores = own.flatMap((one) => one.score ?? []);
  const first = own.find((one) => one.score !== null && one.score >= passMark);
  return {
    lesson,
    attempts: own.length,
    best: scores.length === 0 ? null : Math.max(...scores),
    last: own.at(-1)?.score ?? null,
    passed: first !== undefined,
    passedAt: first?.ended ?? null,
  };
}

/** A skill is told from the last so many findings about it. */
const LATELY = 8;

export interface SkillProgress {
  readonly skill: Skill;
  /** 0 to 100; null where nothing was judged yet. */
  readonly mark: number | null;
  readonly findings: number;
}

/** How a learner stands with each skill: the mean of the latest findings, by their weights. */
export function skillProgress(attempts: readonly AttemptMark[]): SkillProgress[] {
  const all = attempts.flatMap((one) => one.findings);
  return SKILLS.map((skill) => {
    const latest = all.filter((one) => one.skill === skill).slice(-LATELY);
    const whole = latest.reduce((sum, one) => sum + one.weight, 0);
    const won = latest.reduce((sum, one) => sum + one.weight * one.mark, 0);
    return { skill, mark: whole === 0 ? null : Math.round((100 * won) / whole), findings: latest.length };
  });
}
