import type { Evidence } from './evidence.ts';
import type { Finding, Rule, Skill } from './rule.ts';
import { BENCH_RULES } from './rules-bench.ts';
import { POURING_RULES } from './rules-pouring.ts';
import { READING_RULES } from './rules-reading.ts';
import { ZERO_RULES } from './rules-zero.ts';

/** Every rule of the score. */
export const RULES: readonly Rule[] = [...READING_RULES, ...ZERO_RULES, ...POURING_RULES, ...BENCH_RULES];

/** Weights a teacher has set, by rule; 0 leaves a rule out. */
export type Weights = Readonly<Record<string, number>>;

export const MOST_WEIGHT = 5;

export interface Judged extends Finding {
  readonly rule: string;
  readonly skill: Skill;
  readonly title: string;
  readonly sentence: string;
  readonly weight: number;
}

export interface Score {
  /** 0 to 100, rounded; null where no rule had anything to judge. */
  readonly score: number | null;
  readonly findings: readonly Judged[];
  /** The one thing to try next; null where everything was kept. */
  readonly next: { readonly rule: string; readonly says: string } | null;
}

/** A rule that a lesson is about counts so many times its weight there. */
export const ABOUT_TIMES = 3;

export const weightOf = (rule: Rule, weights: Weights): number => weights[rule.id] ?? rule.weight;

/** What a rule weighs in a lesson; in a batch of the workshop each rule has its own weight. */
const weightIn = (rule: Rule, { lesson }: Evidence, weights: Weights): number =>
  weightOf(rule, weights) * (lesson?.about.includes(rule.id) === true ? ABOUT_TIMES : 1);

/**
 * Judges by every rule that has something to judge. What the lesson is about counts `ABOUT_TIMES`. The score is the mean of the marks by their weights, times 100;
 * what is to be tried next belongs to the rule that cost most.
 */
export function scoreOf(evidence: Evidence, weights: Weights): Score {
  const judged = RULES.flatMap((rule) => {
    const weight = weightIn(rule, evidence, weights);
    const found = weight > 0 ? rule.judge(evidence) : null;
    if (found === null) return [];
    const { id, skill, title, sentence } = rule;
    return [{ ...found, rule: id, skill, title, sentence, weight }];
  });
  const whole = judged.reduce((sum, one) => sum + one.weight, 0);
  const won = judged.reduce((sum, one) => sum + one.weight * one.mark, 0);
  const lost = (one: Judged): number => one.weight * (1 - one.mark);
  const worst = judged.reduce<Judged | null>(
    (most, one) => (lost(one) > (most === null ? 0.001 : lost(most)) ? one : most),
    null,
  );
  const rule = RULES.find((one) => one.id === worst?.rule);
  return {
    score: whole === 0 ? null : Math.round((100 * won) / whole),
    findings: judged,
    next: rule === undefined ? null : { rule: rule.id, says: worst?.tryNext ?? rule.tryNext },
  };
}
