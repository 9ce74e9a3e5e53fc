import { describe, expect, it } from 'vitest';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { type DropBook, emptyDropBook } from '../../../electron/host/drop-book.ts';
import { memoryJournal } from '../../bench/memory-journal.ts';
import { TestBench } from './test-bench.ts';

/** A bench over a book of drops that fails whenever it is asked, until it is put right. */
async function broken() {
  const journal = memoryJournal();
  let fails = false;
  const drops: DropBook = {
    ...emptyDropBook(),
    pipettes: () => {
      if (fails) throw new TypeError('the page is torn');
      return ['pipette'];
    },
  };
  const test = new TestBench(() => ({ journal, drops }));
  await test.attach();
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas[0];
  if (formula === undefined) throw new Error('the demo workshop has no formula');
  test.bench.start({ formula, materials, lots, operator: 'Ada', balance: { name: 'test' } });
  return {
    test,
    journal,
    fail: (now: boolean) => {
      fails = now;
    },
  };
}

describe('a batch that the program fails to show', () => {
  it('is told by name and reason, with the balance as it is, and readings go on being heard', async () => {
    const { test, fail } = await broken();
    fail(true);
    const seen: unknown[] = [];
    test.bench.onView((view) => seen.push(view.unshown?.why));
    for (let n = 0; n < 30; n += 1) test.balance.read('50.00');
    const view = test.view();
    expect(view.pour).toBeNull();
    expect(view.live.g).toBe('50.00');
    expect(view.unshown).toEqual({
      batch: 'batch-1',
      name: test.bench.batch?.name,
      why: 'TypeError: the page is torn',
    });
    expect(seen.at(-1)).toBe('TypeError: the page is torn');
  });

  it('goes off the bench as it is stored, and is taken up again once it can be shown', async () => {
    const { test, journal, fail } = await broken();
    fail(true);
    for (let n = 0; n < 30; n += 1) test.balance.read('50.00');
    const stored = journal.events('batch-1').length;
    test.bench.leave();
    expect(test.view().unshown).toBeUndefined();
    fail(false);
    test.bench.takeUp('batch-1');
    expect(test.view().pour?.phase).toBe('vessel');
    expect(journal.events('batch-1')).toHaveLength(stored);
  });
});
