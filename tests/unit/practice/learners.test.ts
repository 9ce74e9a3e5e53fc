import { beforeAll, describe, expect, it } from 'vitest';
import { COURSE } from '../../../core/practice/course.ts';
import { PASS_MARK } from '../../../core/practice/learner.ts';
import { CHARACTERS, type CharacterName, FAULT_OF } from '../../bench/characters.ts';
import { type Lived, live } from '../../bench/learners.ts';

const NAMES = Object.keys(CHARACTERS) as CharacterName[];
const SEEDS = [11, 12];

const lived = new Map<string, Lived>();
const key = (lesson: string, name: CharacterName, seed: number): string => `${lesson} ${name} ${seed}`;
const scoreIn = (lesson: string, name: CharacterName, seed: number): number => {
  const score = lived.get(key(lesson, name, seed))?.score.score;
  if (score === null || score === undefined) throw new Error(`no score: ${key(lesson, name, seed)}`);
  return score;
};
const markOf = (lesson: string, name: CharacterName, rule: string): number | undefined =>
  lived.get(key(lesson, name, 11))?.score.findings.find((one) => one.rule === rule)?.mark;

beforeAll(async () => {
  for (const lesson of COURSE)
    for (const name of NAMES)
      for (const seed of SEEDS) lived.set(key(lesson.id, name, seed), await live(lesson, name, seed));
}, 60_000);

describe('scripted learners through the course', () => {
  it('the careful one stands highest in every lesson, and passes it', () => {
    for (const { id } of COURSE)
      for (const seed of SEEDS) {
        const careful = scoreIn(id, 'careful', seed);
        expect(careful, id).toBeGreaterThanOrEqual(95);
        for (const name of NAMES)
          expect(scoreIn(id, name, seed), `${id} ${name}`).toBeLessThanOrEqual(careful);
      }
  });

  it('whoever has the fault that a lesson is about does not pass it, and stands below every other but the hasty', () => {
    for (const { id } of COURSE)
      for (const seed of SEEDS) {
        const faults = FAULT_OF[id] ?? [];
        const most = Math.max(...faults.map((name) => scoreIn(id, name, seed)));
        expect(most, `${id} ${faults}`).toBeLessThan(PASS_MARK);
        for (const name of NAMES)
          if (name !== 'hasty' && !faults.includes(name))
            expect(most, `${id} ${faults} and ${name}`).toBeLessThan(scoreIn(id, name, seed));
      }
  });

  it('over the course the careful one is first and the hasty one last, the others between', () => {
    for (const seed of SEEDS) {
      const whole = NAMES.map((name) => ({
        name,
        score: COURSE.reduce((sum, { id }) => sum + scoreIn(id, name, seed), 0) / COURSE.length,
      })).sort((a, b) => b.score - a.score);
      expect(whole[0]?.name).toBe('careful');
      expect(whole.at(-1)?.name).toBe('hasty');
      expect((whole[0]?.score ?? 0) - (whole[1]?.score ?? 0)).toBeGreaterThan(5);
      expect((whole.at(-2)?.score ?? 0) - (whole.at(-1)?.score ?? 0)).toBeGreaterThan(20);
    }
  });

  it('each fault is found by its own rule', () => {
    expect(markOf('settled-figure', 'reads too early', 'settled')).toBeLessThan(0.7);
    expect(markOf('settled-figure', 'careful', 'settled')).toBe(1);
    expect(markOf('tare-and-gross', 'forgetful of tare', 'tare')).toBe(0);
    expect(markOf('tare-and-gross', 'forgetful of tare', 'answers')).toBe(0);
    expect(markOf('one-gram', 'forgetful of tare', 'zero')).toBe(0);
    expect(markOf('one-gram', 'heavy-handed', 'overshoot')).toBeLessThan(0.4);
    expect(markOf('stop-in-time', 'heavy-handed', 'touch-off')).toBeLessThan(0.3);
    expect(markOf('one-drop', 'heavy-handed', 'touch-off')).toBeLessThan(0.5);
    expect(markOf('clean-bench', 'hasty', 'fresh-pipette')).toBeLessThan(1);
    expect(markOf('overpour', 'hasty', 'correction')).toBeLessThan(0.5);
    expect(markOf('overpour', 'careful', 'correction')).toBe(1);
  });

  it('the one thing to try next belongs to the fault that cost most', () => {
    const next = (lesson: string, name: CharacterName) => lived.get(key(lesson, name, 11))?.score.next?.rule;
    expect(next('settled-figure', 'reads too early')).toBe('settled');
    expect(next('level-and-zero', 'forgetful of tare')).toBe('zero');
    expect(next('one-gram', 'heavy-handed')).toBe('overshoot');
    expect(next('settled-figure', 'careful')).toBeUndefined();
  });

  it('a moment of the feedback lies on the trace and says how much too early it was', () => {
    const { run, score } = lived.get(key('settled-figure', 'reads too early', 11)) as Lived;
    const { began, trace } = run.evidence();
    const early = score.findings.find((one) => one.rule === 'settled')?.moments ?? [];
    expect(early.length).toBeGreaterThan(0);
    expect(early[0]?.says).toMatch(/^you read (\d\.\d s too early here|while the figure was still moving)$/);
    for (const { at } of early) {
      expect(at).toBeGreaterThanOrEqual(began);
      expect(at).toBeLessThanOrEqual(trace.at(-1)?.at ?? 0);
    }
  });

  it('the same seed gives the same score, and no lesson is longer than it says', async () => {
    const lesson = COURSE.find((one) => one.id === 'one-gram');
    if (lesson === undefined) throw new Error('the course has no such lesson');
    const again = await live(lesson, 'hasty', 11);
    expect(again.score).toEqual(lived.get(key('one-gram', 'hasty', 11))?.score);
    for (const { id, minutes } of COURSE)
      expect(lived.get(key(id, 'careful', 11))?.seconds, id).toBeLessThan(minutes * 60);
  });
});
