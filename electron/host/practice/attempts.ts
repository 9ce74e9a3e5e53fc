import type { Evidence, TracePoint } from '../../../core/practice/evidence.ts';
import type { Attempt } from '../../../core/practice/learner.ts';
import { type Score, scoreOf, type Weights } from '../../../core/practice/score.ts';
import { packTrace, unpackTrace } from '../store/trace-pack.ts';
import type { LessonRun } from './run.ts';

const iso = (ms: number): string => new Date(ms).toISOString();

/** Readings with their moments as base64. */
export function packed(trace: readonly TracePoint[]): string {
  const start = trace[0]?.at ?? 0;
  const readings = trace.map(({ at, g }): [number, string] => [at - start, g]);
  return Buffer.from(packTrace({ start: iso(start), readings })).toString('base64');
}

export function unpacked(text: string): TracePoint[] {
  const { start, readings } = unpackTrace(Buffer.from(text, 'base64'));
  const from = Date.parse(start);
  return readings.map(([at, g]) => ({ at: from + at, g }));
}

/** What is kept of a lesson that was done to its end, scored by these weights. */
export function attemptOf(run: LessonRun, weights: Weights): Attempt {
  const evidence: Evidence = run.evidence();
  const score: Score = scoreOf(evidence, weights);
  return {
    learner: run.learner.id,
    lesson: run.lesson.id,
    title: run.lesson.title,
    began: iso(evidence.began),
    ended: iso(evidence.ended),
    balance: run.bench.balance?.what ?? 'no balance',
    d: run.d,
    ...score,
    deeds: evidence.deeds,
    batches: run.batches,
    trace: packed(evidence.trace),
  };
}
