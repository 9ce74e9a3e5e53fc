import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { decimal } from '../../../core/quantity/decimal.ts';
import { buildRecord } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { exportFile } from '../../../electron/host/documents/export.ts';
import { sha256 } from '../../../electron/host/store/journal.ts';
import { StoredBench } from './test-bench.ts';

let on: StoredBench;
beforeEach(async () => {
  on = await StoredBench.open();
});
afterEach(() => on.close());

const view = () => on.view().pour;

/** The first line, 2.00 g, poured at 2.30 g. */
function overpoured(): void {
  on.firstBottle();
  on.balance.rest('52.30');
}

describe('withdrawing at the bench', () => {
  it('shows what is to go out, in the lane too, and what is out', () => {
    overpoured();
    expect(view()?.choices.find((one) => one.key === '4')).toMatchObject({
      kind: 'withdraw-unmixed',
      possible: true,
      headline: '0.30 g out, batch 20.00 g',
    });
    on.do({ type: 'choose', choice: 'withdraw-unmixed' });
    expect(view()).toMatchObject({
      phase: 'withdrawing',
      figure: '0.30',
      figureUnit: 'g to take out',
      state: 'approach',
      now: { target: '0.30', low: '0.28', high: '0.32', poured: '0.00' },
      choices: [],
    });
    on.balance.read('52.10');
    expect(view()).toMatchObject({ figure: '0.10', now: { poured: '0.20', toGo: '0.10' }, solid: false });
    on.balance.read('52.00');
    expect(view()).toMatchObject({ state: 'inside', figureUnit: 'g taken out' });
    on.balance.rest('52.00');
    expect(view()).toMatchObject({ phase: 'bottle', word: 'taken out', figure: '0.30' });
    // Until the next bottle is in hand the moment is about what it was taken from.
    expect(view()?.now).toMatchObject({ target: '2.00', poured: '2.00' });
    expect(view()?.next?.title).not.toBe(view()?.now?.title);
    expect(on.types('batch-1').at(-1)).toBe('withdrawn');
  });

  it('out of the stirred vessel, asks for a figure of the display that is enough once it is out', () => {
    overpoured();
    on.do({ type: 'choose', choice: 'keep' });
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.rest('70.55');
    const card = view()?.choices.find((one) => one.kind === 'withdraw-exact');
    expect(card?.possible).toBe(true);
    on.do({ type: 'choose', choice: 'withdraw-exact' });
    const out = decimal(view()?.figure ?? '');
    const begun = on.events().at(-1);
    const aim = begun?.type === 'withdrawal-begun' ? begun.aim : '';
    expect(out.decimalPlaces()).toBeLessThanOrEqual(2);
    expect(out.gt(aim) && out.minus(aim).lt('0.01')).toBe(true);
    on.balance.read(decimal('70.55').minus(out).plus('0.01').toFixed(2));
    expect(view()).toMatchObject({ figure: '0.01', figureUnit: 'g to take out' });
    on.balance.read(decimal('70.55').minus(out).toFixed(2));
    expect(view()).toMatchObject({ figureUnit: 'g taken out', word: 'enough' });
  });

  it('says when mass came in, and offers to leave it', () => {
    overpoured();
    on.do({ type: 'choose', choice: 'withdraw-unmixed' });
    on.balance.rest('52.60');
    expect(view()).toMatchObject({ phase: 'withdrawing', figureUnit: 'g came in', state: 'over' });
    on.balance.rest('52.30');
    expect(view()?.actions.map((one) => one.do)).toEqual(['settle', 'pause', 'accept-under', 'abandon']);
    on.do({ type: 'accept-under', settled: on.settled });
    expect(view()).toMatchObject({ phase: 'over', figure: '0.30' });
    expect(view()?.choices.length).toBe(5);
  });

  it('goes on after a stop in the middle of it', async () => {
    overpoured();
    on.do({ type: 'choose', choice: 'withdraw-unmixed' });
    on.balance.read('52.20');
    await on.bench.detach();
    on.start();
    await on.attach();
    on.bench.takeUp('batch-1');
    expect(view()).toMatchObject({ phase: 'withdrawing' });
    on.balance.rest('51.99');
    expect(view()).toMatchObject({ phase: 'bottle', figure: '0.31' });
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.rest('70.00');
    on.do({ type: 'close', settled: on.settled });
    expect(view()).toMatchObject({ phase: 'closed', result: { total: '20.00', closure: '0.00' } });
    const record = buildRecord(on.store.journal.events('batch-1'));
    expect(record.withdrawals).toHaveLength(1);
    expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
  });

  it('tells every line and its extra mass with each choice, and where the worst line lies', () => {
    overpoured();
    const [least, exact] = view()?.choices ?? [];
    expect(exact?.lines?.map((line) => line.extra)).toEqual(['0.30', '2.70']);
    expect(least?.points.some((point) => point.startsWith('worst line off by 15.0 %, then by'))).toBe(true);
  });
});

describe('starting again at the bench', () => {
  it('ends the batch and has the next one on the bench, each naming the other', () => {
    overpoured();
    on.do({ type: 'choose', choice: 'again' });
    expect(view()).toMatchObject({ batch: 'batch-2', phase: 'vessel', total: '20.00' });
    expect(view()?.hint).toContain('clean');
    expect(on.store.journal.batches().map((row) => [row.id, row.status])).toEqual(
      expect.arrayContaining([
        ['batch-1', 'abandoned'],
        ['batch-2', 'open'],
      ]),
    );
    const [old, anew] = ['batch-1', 'batch-2'].map((id) => buildRecord(on.store.journal.events(id)));
    expect(old?.batch).toMatchObject({ status: 'abandoned', followedBy: 'batch-2' });
    expect(anew?.batch).toMatchObject({ status: 'interrupted', follows: 'batch-1' });
    for (const record of [old, anew]) expect(verifyRecord(sha256, record).ok).toBe(true);
  });

  it('stores both or neither', () => {
    overpoured();
    on.ids = 0;
    expect(() => on.do({ type: 'choose', choice: 'again' })).toThrow();
    expect(on.types('batch-1').at(-1)).toBe('captured');
    expect(view()).toMatchObject({ batch: 'batch-1', phase: 'over' });
  });
});

describe('the shelf of a batch', () => {
  it('holds the other lots of wanted materials that are not past their date', () => {
    const { formulas, materials, lots } = demoWorkshop();
    const formula = formulas.find((one) => one.id === 'hedge-bank-4');
    if (formula === undefined) throw new Error('the demo workshop has no such formula');
    on.bench.start({ formula, materials, lots, operator: 'tester', balance: { name: 'test' } });
    const facts = on.bench.batch?.state.facts;
    const used = new Set(facts?.lots.map((lot) => lot.code));
    const wanted = formula.lines.filter((line) => line.qs !== true).map((line) => line.material);
    const others = lots.filter(
      (lot) =>
        !used.has(lot.code) &&
        wanted.some((material) => material in lot.composition) &&
        (lot.bestBefore ?? '9999') >= new Date(on.balance.at).toISOString().slice(0, 10),
    );
    expect(others.length).toBeGreaterThan(0);
    expect(facts?.shelf).toEqual(others);
  });
});

describe('the exported table', () => {
  it('tells what was withdrawn, and which record begins which anew', () => {
    overpoured();
    on.do({ type: 'choose', choice: 'withdraw-unmixed' });
    on.balance.rest('52.00');
    expect(exportFile(on.store.journal, 'batch-1', 'csv').text).toContain(
      '"withdrawn, unmixed, after pour 1 (g)",0.30\r\n',
    );
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.rest('71.00');
    on.do({ type: 'choose', choice: 'again' });
    expect(exportFile(on.store.journal, 'batch-1', 'csv').text).toContain('begun anew by record,batch-2\r\n');
    expect(exportFile(on.store.journal, 'batch-2', 'csv').text).toContain('begins anew record,batch-1\r\n');
  });
});
