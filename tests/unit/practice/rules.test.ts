import { describe, expect, it } from 'vitest';
import { COURSE } from '../../../core/practice/course.ts';
import type { Deed } from '../../../core/practice/deeds.ts';
import { type Evidence, restsOf, type TracePoint } from '../../../core/practice/evidence.ts';
import { lessonProgress, skillProgress } from '../../../core/practice/learner.ts';
import { RULES, scoreOf } from '../../../core/practice/score.ts';

/** Ten readings a second: a straight rise from `from` to `to` until `rests`, then at rest until `ends`, s. */
function rising(from: number, to: number, rests: number, ends: number): TracePoint[] {
  return Array.from({ length: ends * 10 }, (_, i) => {
    const at = i * 100;
    const share = Math.min(1, at / (rests * 1000));
    return { at, g: (from + (to - from) * share).toFixed(2) };
  });
}

const lesson = COURSE.find((one) => one.id === 'settled-figure') ?? null;

function evidence(trace: TracePoint[], deeds: readonly Deed[]): Evidence {
  return {
    lesson,
    began: 0,
    ended: trace.at(-1)?.at ?? 0,
    d: 0.01,
    typed: false,
    events: [],
    deeds,
    trace,
    rests: restsOf(trace, 0.01),
  };
}

const found = (given: Evidence, rule: string) => RULES.find((one) => one.id === rule)?.judge(given) ?? null;

describe('a figure that is taken', () => {
  const trace = rising(40, 50, 2, 6);

  it('after it has stood for a second is in time', () => {
    const given = evidence(trace, [{ type: 'read', step: 'vessel-read', g: '50.00', at: 3200 }]);
    expect(found(given, 'settled')).toMatchObject({ mark: 1, moments: [] });
    expect(found(given, 'true-figure')).toMatchObject({ mark: 1 });
  });

  it('before that is told by how much, at its moment', () => {
    const given = evidence(trace, [{ type: 'read', step: 'vessel-read', g: '50.00', at: 2200 }]);
    const settled = found(given, 'settled');
    expect(settled?.moments).toEqual([{ at: 2200, says: 'you read 0.8 s too early here' }]);
    expect(settled?.mark).toBeGreaterThan(0);
    expect(settled?.mark).toBeLessThan(1);
  });

  it('on the way is told with the figure it came to', () => {
    const given = evidence(trace, [{ type: 'read', step: 'vessel-read', g: '45.00', at: 1000 }]);
    expect(found(given, 'true-figure')?.moments[0]?.says).toBe(
      'you read 45.00 g; it came to rest at 50.00 g',
    );
    expect(found(given, 'settled')?.mark).toBe(0);
  });

  it('is not judged where figures are typed', () => {
    const given = {
      ...evidence(trace, [{ type: 'read', step: 'vessel-read', g: '45.00', at: 1000 }]),
      typed: true,
    };
    expect(found(given, 'settled')).toBeNull();
  });
});

describe('a score', () => {
  const trace = rising(40, 50, 2, 6);
  const given = evidence(trace, [
    { type: 'stepped', step: 'zero', g: '0.08', at: 100 },
    { type: 'read', step: 'vessel-read', g: '50.00', at: 4000 },
  ]);

  it('is the mean of the marks by their weights, and names what cost most', () => {
    const { score, findings, next } = scoreOf(given, {});
    const whole = findings.reduce((sum, one) => sum + one.weight, 0);
    const won = findings.reduce((sum, one) => sum + one.weight * one.mark, 0);
    expect(score).toBe(Math.round((100 * won) / whole));
    expect(next?.rule).toBe('zero');
  });

  it('follows the weights a teacher sets; a weight of 0 leaves a rule out', () => {
    const without = scoreOf(given, { zero: 0 });
    expect(without.findings.map((one) => one.rule)).not.toContain('zero');
    expect(without.score).toBe(100);
    expect(scoreOf(given, { zero: 5 }).score ?? 0).toBeLessThan(scoreOf(given, { zero: 1 }).score ?? 0);
  });

  it('is none where nothing was done', () => {
    expect(scoreOf(evidence([], []), {})).toMatchObject({ score: null, next: null, findings: [] });
  });
});

describe('rules', () => {
  it('each have a sentence a teacher can read, something to try, and a name of their own', () => {
    expect(new Set(RULES.map((one) => one.id)).size).toBe(RULES.length);
    for (const { sentence, tryNext, weight } of RULES) {
      expect(sentence).toMatch(/^[A-Z].{15,}[.]$/);
      expect(tryNext).toMatch(/^[A-Z].{15,}[.]$/);
      expect(weight).toBeGreaterThan(0);
    }
  });

  it('shame nobody', () => {
    const told = RULES.flatMap(({ sentence, tryNext, title }) => [sentence, tryNext, title]).join(' ');
    expect(told).not.toMatch(/\b(bad|wrong of you|fail|failed|poor|careless|stupid|rank)\b/i);
  });
});

describe('the course', () => {
  it('has lessons of 2 to 10 minutes, each with what, why, what good looks like and cautions', () => {
    expect(COURSE.length).toBeGreaterThanOrEqual(12);
    const rules = RULES.map((one) => one.id);
    for (const { title, what, why, good, cautions, about, minutes } of COURSE) {
      expect(about.length, title).toBeGreaterThan(0);
      expect(rules, title).toEqual(expect.arrayContaining([...about]));
      for (const text of [what, why, good]) expect(text.length, title).toBeGreaterThan(30);
      expect(cautions.length, title).toBeGreaterThan(0);
      expect(minutes).toBeGreaterThanOrEqual(2);
      expect(minutes).toBeLessThanOrEqual(10);
    }
  });
});

describe('progress', () => {
  const finding = {
    rule: 'settled',
    skill: 'reading',
    title: '',
    sentence: '',
    weight: 3,
    says: '',
    moments: [],
  } as const;
  const attempts = [
    {
      lesson: 'one-drop',
      ended: '2026-01-05T09:00:00.000Z',
      score: 55,
      findings: [{ ...finding, mark: 0.2 }],
    },
    {
      lesson: 'one-drop',
      ended: '2026-01-06T09:00:00.000Z',
      score: 82,
      findings: [{ ...finding, mark: 0.8 }],
    },
  ];

  it('keeps the best, the last and the day a lesson was first passed', () => {
    expect(lessonProgress('one-drop', attempts, 70)).toMatchObject({
      attempts: 2,
      best: 82,
      last: 82,
      passed: true,
      passedAt: '2026-01-06T09:00:00.000Z',
    });
    expect(lessonProgress('one-drop', attempts, 90)).toMatchObject({ passed: false, passedAt: null });
    expect(lessonProgress('accord', attempts, 70)).toMatchObject({ attempts: 0, best: null, passed: false });
  });

  it('tells a skill from the findings about it, and nothing where there are none', () => {
    const [reading, , pouring] = skillProgress(attempts);
    expect(reading).toMatchObject({ skill: 'reading', mark: 50, findings: 2 });
    expect(pouring).toMatchObject({ mark: null, findings: 0 });
  });
});
