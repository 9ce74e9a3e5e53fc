import { type Evidence, restsOf, type TracePoint } from '../../../core/practice/evidence.ts';
import type { Attempt } from '../../../core/practice/learner.ts';
import { type Judged, scoreOf, type Weights } from '../../../core/practice/score.ts';
import type { Store } from '../store/store.ts';
import type { Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { unpacked } from './attempts.ts';

type FeedbackView = Output<'practice.attempt'>;

/** A trace is shown with at most so many points; what stands still is told by its ends. */
const SHOWN_POINTS = 4000;

/** The word beside a score: what stands, never whom it is better than. */
function wordOf(score: number | null): string {
  if (score === null) return 'nothing to judge';
  if (score >= 95) return 'clean work';
  if (score >= 85) return 'sure';
  if (score >= 70) return 'on the way';
  return 'worth doing again';
}

/** A line as a chart needs it: of a run of equal figures only its ends. */
function thinned(trace: readonly TracePoint[]): TracePoint[] {
  const kept = trace.filter(
    ({ g }, i) => g !== trace[i - 1]?.g || g !== trace[i + 1]?.g || i === 0 || i === trace.length - 1,
  );
  const every = Math.ceil(kept.length / SHOWN_POINTS);
  return every <= 1 ? kept : kept.filter((_, i) => i % every === 0);
}

const findingsOf = (findings: readonly Judged[], began: number): FeedbackView['findings'] =>
  findings.map(({ rule, skill, title, sentence, mark, weight, says, moments }) => ({
    rule,
    skill,
    title,
    sentence,
    mark: Math.round(100 * mark),
    weight,
    says,
    moments: moments.map((one) => ({ at: Math.max(0, one.at - began) / 1000, says: one.says })),
  }));

const traceOf = (trace: readonly TracePoint[], began: number): FeedbackView['trace'] =>
  thinned(trace).map(({ at, g }): [number, number] => [(at - began) / 1000, Number(g)]);

/** Feedback on an attempt, as it was scored then. */
export function feedbackOf(attempt: Attempt & { readonly n: number }, who: string): FeedbackView {
  const began = Date.parse(attempt.began);
  return {
    n: attempt.n,
    lesson: attempt.lesson,
    title: attempt.title,
    who,
    began: attempt.began,
    balance: attempt.balance,
    minutes: (Date.parse(attempt.ended) - began) / 60_000,
    score: attempt.score,
    word: wordOf(attempt.score),
    next: attempt.next?.says ?? null,
    findings: findingsOf(attempt.findings, began),
    trace: traceOf(unpacked(attempt.trace), began),
  };
}

/** Every reading that was kept of a batch, on one clock; one that two traces hold is there once. */
function readingsOf({ journal }: Store, batch: string): TracePoint[] {
  const found = new Map<number, string>();
  for (const n of journal.traced(batch)) {
    const trace = journal.trace(batch, n);
    if (trace === null) continue;
    const start = Date.parse(trace.start);
    for (const [at, g] of trace.readings) found.set(start + at, g);
  }
  return [...found].map(([at, g]) => ({ at, g })).sort((a, b) => a.at - b.at);
}

/** What the record of a batch tells the rules. @throws HostTrouble when there is no such batch */
export function evidenceOf(store: Store, batch: string): Evidence {
  const events = store.journal.events(batch).map(({ at, event }) => ({ at: Date.parse(at), event }));
  const [first] = events;
  if (first === undefined || first.event.type !== 'started')
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  const trace = readingsOf(store, batch);
  const typed = events.some(
    ({ event }) => 'settled' in event && event.settled.rule === 'figure typed by hand',
  );
  const d = Number(first.event.balance.limits.d);
  return {
    lesson: null,
    began: first.at,
    ended: events.at(-1)?.at ?? first.at,
    d,
    typed,
    events,
    deeds: [],
    trace,
    rests: typed ? [] : restsOf(trace, d),
  };
}

/** A batch of the workshop by the rules of lessons; nothing is stored, and nothing of it is changed. */
export function reviewOf(store: Store, batch: string, weights: Weights): FeedbackView {
  const evidence = evidenceOf(store, batch);
  const started = evidence.events[0]?.event;
  const { score, findings, next } = scoreOf(evidence, weights);
  return {
    n: null,
    lesson: null,
    title: started?.type === 'started' ? started.formula.name : batch,
    who: started?.type === 'started' ? started.operator : '',
    began: new Date(evidence.began).toISOString(),
    balance: started?.type === 'started' ? started.balance.name : '',
    minutes: (evidence.ended - evidence.began) / 60_000,
    score,
    word: wordOf(score),
    next: next?.says ?? null,
    findings: findingsOf(findings, evidence.began),
    trace: traceOf(evidence.trace, evidence.began),
  };
}
