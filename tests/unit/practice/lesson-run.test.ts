import { expect, it } from 'vitest';
import { lessonOf } from '../../../core/practice/course.ts';
import { ABOUT_TIMES, RULES, scoreOf } from '../../../core/practice/score.ts';
import { LessonRun } from '../../../electron/host/practice/run.ts';
import { Bench } from '../../../electron/host/session.ts';
import { memoryJournal } from '../../bench/memory-journal.ts';
import { FakeBalance } from '../host/fake-balance.ts';

async function begun(id: string) {
  const lesson = lessonOf(id);
  if (lesson === null) throw new Error(`the course has no lesson "${id}"`);
  const balance = new FakeBalance();
  const now = () => balance.at;
  const bench = new Bench({ journal: memoryJournal(), now, newId: () => 'batch-1' });
  await bench.attach(balance);
  const learner = { id: 'one', name: 'Ilse', added: '2026-01-05T09:00:00.000Z' };
  return { balance, bench, run: new LessonRun({ lesson, learner, bench, pan: null, now, seed: 1 }) };
}

it('water that was not poured is not in: the step waits until the display has gone up', async () => {
  const { balance, run } = await begun('settled-figure');
  balance.rest('0.00');
  run.ask({ do: 'done' });
  balance.rest('50.00');
  run.ask({ do: 'done' });
  run.ask({ do: 'read' });
  expect(() => run.ask({ do: 'done' })).toThrow('The display has not gone up yet.');
  balance.rest('50.20');
  expect(() => run.ask({ do: 'done' })).toThrow('not gone up');
  balance.rest('50.80');
  run.ask({ do: 'done' });
  run.ask({ do: 'read' });
  expect(run.exercise?.reads).toMatchObject({ 'vessel-read': '50.00', 'pour-read': '50.80' });
});

it('a line that was left out is told, and counts as one outside its window', async () => {
  const { balance, bench, run } = await begun('one-gram');
  const settled = () => bench.settling.settled;
  balance.rest('0.00');
  balance.rest('50.00');
  run.command({ type: 'confirm-vessel', settled: settled() });
  run.command({ type: 'confirm-bottle', how: 'by eye', settled: settled() });
  balance.rest('51.00');
  run.command({ type: 'end-early', reason: 'no more', settled: settled() });
  run.command({ type: 'close', settled: settled() });
  expect(run.done).toBe(true);
  const { findings } = scoreOf(run.evidence(), {});
  const window = findings.find((one) => one.rule === 'overshoot');
  expect(window).toMatchObject({ mark: 0.5, says: expect.stringContaining('1 pour of 2 ended inside') });
  expect(window?.moments.map((one) => one.says)).toEqual(['Water was never poured']);
});

it('a dilution tells what share it came to', async () => {
  const { balance, bench, run } = await begun('ten-per-cent');
  const settled = () => bench.settling.settled;
  balance.rest('0.00');
  balance.rest('50.00');
  run.command({ type: 'confirm-vessel', settled: settled() });
  for (const gross of ['51.01', '60.05']) {
    run.command({ type: 'confirm-bottle', how: 'by eye', settled: settled() });
    balance.rest(gross);
  }
  run.command({ type: 'close', settled: settled() });
  const window = scoreOf(run.evidence(), {}).findings.find((one) => one.rule === 'overshoot');
  expect(window?.says).toBe(
    'All 2 pours ended inside the window. Practice oil is 10.0 % of what is in the vessel.',
  );
});

it('the overpour on a real balance, without one, has put nothing right', async () => {
  const { balance, bench, run } = await begun('overpour');
  const settled = () => bench.settling.settled;
  balance.rest('0.00');
  balance.rest('50.00');
  run.command({ type: 'confirm-vessel', settled: settled() });
  for (const gross of ['50.60', '51.80', '56.00']) {
    run.command({ type: 'confirm-bottle', how: 'by eye', settled: settled() });
    balance.rest(gross);
  }
  run.command({ type: 'close', settled: settled() });
  const { findings, next } = scoreOf(run.evidence(), {});
  expect(findings.find((one) => one.rule === 'overshoot')).toMatchObject({ mark: 1 });
  expect(findings.find((one) => one.rule === 'correction')).toMatchObject({
    mark: 0,
    says: 'Nothing went over, so there was nothing to put right.',
  });
  expect(next).toMatchObject({ rule: 'correction', says: expect.stringContaining('on purpose') });
});

it('what a lesson is about counts several times there, and what it names are rules', async () => {
  const { balance, run } = await begun('level-and-zero');
  balance.rest('0.08');
  run.ask({ do: 'done' });
  run.ask({ do: 'done' });
  const zero = RULES.find((one) => one.id === 'zero');
  expect(scoreOf(run.evidence(), {}).findings.find((one) => one.rule === 'zero')?.weight).toBe(
    ABOUT_TIMES * (zero?.weight ?? 0),
  );
  expect(scoreOf(run.evidence(), { zero: 0 }).findings.map((one) => one.rule)).not.toContain('zero');
});
