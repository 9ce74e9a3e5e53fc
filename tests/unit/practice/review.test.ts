import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { reviewOf } from '../../../electron/host/practice/feedback.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { FakeBalance } from '../host/fake-balance.ts';

it('a batch of the workshop is judged by the same rules, and nothing of its record changes', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-review-'));
  const store = openStore(folder);
  onTestFinished(() => {
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const balance = new FakeBalance();
  const bench = new Bench({ journal: store.journal, now: () => balance.at, newId: () => 'batch-1' });
  await bench.attach(balance);
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas.find((one) => one.id === 'vetiver-dilution-10');
  if (formula === undefined) throw new Error('the demo workshop has no dilution');
  const settled = () => bench.settling.settled;
  bench.start({ formula, materials, lots, operator: 'tester', balance: { name: 'test' } });
  balance.rest('50.00');
  bench.do({ type: 'confirm-vessel', settled: settled() });
  bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settled() });
  balance.rest('52.30');
  bench.do({ type: 'choose', choice: 'keep' });
  bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settled() });
  balance.rest('70.30');
  bench.do({ type: 'close', settled: settled() });

  const events = JSON.stringify(store.journal.events('batch-1'));
  const told = reviewOf(store, 'batch-1', {});
  const rule = (id: string) => told.findings.find((one) => one.rule === id);
  expect(told).toMatchObject({ n: null, lesson: null, who: 'tester', title: 'Vetiver, dilution 10 %' });
  expect(rule('overshoot')?.mark).toBeLessThan(100);
  expect(rule('overshoot')?.moments[0]?.says).toMatch(/^Vetiver oil ended \d\.\d\d g past its window/);
  expect(rule('correction')?.says).toContain('cost less');
  expect(rule('cautions')?.mark).toBe(0);
  expect(rule('fresh-pipette')).toBeUndefined();
  expect(told.trace.length).toBeGreaterThan(2);
  expect(reviewOf(store, 'batch-1', {})).toEqual(told);
  expect(JSON.stringify(store.journal.events('batch-1'))).toBe(events);
  expect(store.learning.learners()).toEqual([]);
  expect(() => reviewOf(store, 'no-batch', {})).toThrow('There is no batch');
});
