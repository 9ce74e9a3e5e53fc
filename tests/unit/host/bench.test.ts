import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Lot } from '../../../core/formula/types.ts';
import { PourRefusal } from '../../../core/pour/commands.ts';
import type { StoredEvent } from '../../../core/pour/events.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { openDropBook } from '../../../electron/host/drop-book.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { StoreTrouble } from '../../../electron/host/store/trouble.ts';
import { BenchView } from '../../../electron/host/table.ts';
import { FakeBalance } from './fake-balance.ts';

let folder = '';
let store: Store;
let balance: FakeBalance;
let bench: Bench;

const newBench = (): Bench =>
  new Bench({
    journal: store.journal,
    drops: openDropBook(store.workshop),
    now: () => balance.at,
    newId: () => 'batch-1',
  });

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-bench-'));
  store = openStore(folder);
  balance = new FakeBalance();
  bench = newBench();
  await bench.attach(balance);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

function startDemo(): void {
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas.find((one) => one.id === 'vetiver-dilution-10');
  if (formula === undefined) throw new Error('the demo workshop has no dilution');
  bench.start({ formula, materials, lots, operator: 'tester', balance: { name: 'test' } });
}

const view = (): BenchView => BenchView.parse(bench.view());
const types = (): string[] => store.journal.events('batch-1').map((one: StoredEvent) => one.event.type);
const settledNow = () => bench.settling.settled;

/** Vessel 50.00 g taken and the first bottle in hand. */
function firstBottle(): void {
  startDemo();
  balance.rest('50.00');
  bench.do({ type: 'confirm-vessel', settled: settledNow() });
  bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });
}

describe('a pour on the bench', () => {
  it('goes from vessel to closed, and every view fits the table', () => {
    startDemo();
    expect(view().pour).toMatchObject({ phase: 'vessel', word: 'vessel' });
    balance.rest('50.00');
    expect(view().pour?.actions[0]).toMatchObject({ do: 'confirm-vessel', enabled: true });
    bench.do({ type: 'confirm-vessel', settled: settledNow() });
    expect(view().pour).toMatchObject({ phase: 'bottle', next: { lot: 'VE-06' } });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });
    balance.read('50.80');
    expect(view().pour).toMatchObject({
      phase: 'pouring',
      figure: '1.20',
      figureUnit: 'g to go',
      solid: false,
    });
    balance.rest('52.00');
    expect(view().pour).toMatchObject({ phase: 'bottle', word: 'inside', figure: '2.00', solid: true });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });
    balance.rest('70.00');
    expect(view().pour).toMatchObject({ phase: 'closing' });
    bench.do({ type: 'close', settled: settledNow() });
    expect(view().pour).toMatchObject({ phase: 'closed', result: { strength: '10.00 %', closure: '0.00' } });
    expect(store.journal.batches()[0]).toMatchObject({ status: 'closed', total: '20' });
  });

  it('shows nothing as captured before it is on disk', () => {
    firstBottle();
    const seen: string[] = [];
    bench.onView((shown) => {
      if (shown.pour?.phase === 'bottle') seen.push(types().at(-1) ?? 'nothing');
    });
    balance.rest('52.00');
    expect(seen[0]).toBe('captured');
  });

  it('keeps each reading once: a revision stores what came after its capture, and is read whole', () => {
    firstBottle();
    const append = vi.spyOn(store.journal, 'append');
    balance.rest('52.00');
    balance.rest('52.01');
    const kept = append.mock.calls.flatMap(([, , , beside]) => beside?.trace ?? []);
    expect(kept).toHaveLength(2);
    const begins = kept.map(({ start }) => Date.parse(start));
    const ends = kept.map(({ start, readings }) => Date.parse(start) + (readings.at(-1)?.[0] ?? 0));
    expect(begins[1]).toBe((ends[0] ?? 0) + 100);
    const n = types().indexOf('revised') + 1;
    const whole = store.journal.trace('batch-1', n)?.readings ?? [];
    expect(whole).toHaveLength(kept.flatMap(({ readings }) => readings).length);
    expect(whole.map(([at]) => at)).toEqual(whole.map((_, i) => i * 100));
  });

  it('keeps the state and says why when the record cannot be written', () => {
    firstBottle();
    store.close();
    balance.rest('52.00');
    expect(bench.batch?.state.phase).toBe('pouring');
    expect(view().pour?.notice).toMatchObject({ level: 'stop' });
    expect(view().pour?.notice?.text).toContain('cannot be written');
    store = openStore(folder);
  });

  it('tries again by itself what could not be stored, once there is room', () => {
    firstBottle();
    const { journal } = store;
    const full = new StoreTrouble('The disk is full: this was not stored.', folder, 'Free some room on it.');
    journal.append = vi.fn(journal.append).mockImplementationOnce(() => {
      throw full;
    });
    balance.rest('52.00');
    expect(types().filter((type) => type === 'captured')).toHaveLength(1);
    expect(view().pour).toMatchObject({ phase: 'bottle', word: 'inside', notice: null });
  });

  it('a fault of the program is told as one, not as a record that cannot be written', () => {
    firstBottle();
    store.journal.append = () => {
      throw new RangeError('a wrong sum');
    };
    balance.rest('52.00');
    const text = view().pour?.notice?.text;
    expect(text).toContain('a wrong sum');
    expect(text).toContain('fault of the program');
    expect(text).not.toContain('cannot be written');
    expect(bench.batch?.state.phase).toBe('pouring');
  });

  it('a rule that a reading goes against is told in its own words', () => {
    firstBottle();
    store.journal.append = () => {
      throw new PourRefusal('That cannot be.', 'Do this instead.');
    };
    balance.rest('52.00');
    expect(view().pour?.notice?.text).toBe('That cannot be. Do this instead.');
  });

  it('past the window shows the three choices first, then the further ones that apply', () => {
    firstBottle();
    balance.rest('52.30');
    const pour = view().pour;
    expect(pour).toMatchObject({ phase: 'over', figure: '0.30', state: 'over' });
    expect(pour?.choices.map((one) => [one.kind, one.key])).toEqual([
      ['least', '1'],
      ['exact', '2'],
      ['keep', '3'],
      ['withdraw-unmixed', '4'],
      ['again', '8'],
    ]);
    bench.do({ type: 'choose', choice: 'exact' });
    expect(view().pour).toMatchObject({ phase: 'bottle', total: '23.00' });
  });
});

describe('the balance', () => {
  it('lost: nothing is captured, it is said, and the pour goes on when it is back', () => {
    firstBottle();
    balance.link({ kind: 'lost', what: 'x', why: 'the port closed', retrying: true });
    expect(view().pour?.notice).toMatchObject({ level: 'stop' });
    expect(() => bench.do({ type: 'accept-under', settled: settledNow() })).toThrow(PourRefusal);
    balance.start();
    balance.rest('52.00');
    expect(types()).toEqual(expect.arrayContaining(['balance-lost', 'balance-back', 'captured']));
  });

  it('in counting mode or overloaded: the figure is gone and the reading unsettled', () => {
    firstBottle();
    balance.say({ kind: 'not-a-weight', what: 'the balance counts pieces', at: balance.tick() });
    expect(view().live).toMatchObject({ g: null, message: 'the balance counts pieces', moving: true });
    balance.say({ kind: 'out-of-range', way: 'over', at: balance.tick() });
    expect(view().live.range).toBe('over');
    expect(types()).not.toContain('captured');
  });

  it('let go leaves nothing on the bench and is stopped', async () => {
    await bench.detach();
    expect(balance.stopped).toBe(true);
    expect(view().live.link).toBe('none');
  });
});

const lotOf = (code: string): Lot => {
  const lot = demoWorkshop().lots.find((one) => one.code === code);
  if (lot === undefined) throw new Error(`the demo workshop has no lot ${code}`);
  return lot;
};
const vetiver = () => openDropBook(store.workshop).known(lotOf('VE-06'))?.mean;
const learntNotes = (): string[] =>
  store.journal
    .events('batch-1')
    .flatMap(({ event }) => (event.type === 'noticed' && event.what === 'drop learnt' ? [event.detail] : []));

describe('drops', () => {
  it('typed, are learnt for the lot, written into the record and kept for the next batch', () => {
    firstBottle();
    const before = view().pour?.now;
    expect(before).toMatchObject({ drop: '0.0310', dropU: '0.0093' });
    balance.rest('50.20');
    bench.learnDrops(10);
    expect(view().pour?.now).toMatchObject({ drop: '0.0200' });
    expect(types()).toContain('noticed');
    expect(vetiver()).toBeCloseTo(0.02, 6);
  });

  it('learnt are of the pipette in use, are there after a restart, and are known of another lot of the liquid', () => {
    firstBottle();
    balance.rest('50.20');
    bench.learnDrops(10);
    bench.usePipette('1 mL pipette, fine tip');
    expect(view().pour).toMatchObject({
      now: { drop: '0.0310' },
      pipettes: ['1 mL pipette, fine tip', '3 mL pipette'],
    });
    balance.rest('50.32');
    bench.learnDrops(10);
    expect(view().pour?.now).toMatchObject({ drop: '0.0120' });
    expect(learntNotes()).toEqual([
      expect.stringContaining('from the 3 mL pipette weighed 0.2'),
      expect.stringContaining('from the 1 mL pipette, fine tip weighed 0.12'),
    ]);
    store.close();
    store = openStore(folder);
    bench = newBench();
    bench.takeUp('batch-1');
    expect(view().pour).toMatchObject({ now: { drop: '0.0120', dropU: '0.0006' } });
    bench.usePipette('3 ML pipette');
    expect(view().pour?.pipettes?.[0]).toBe('3 mL pipette');
    expect(view().pour?.now).toMatchObject({ drop: '0.0200' });
    const other = { ...lotOf('VE-06'), code: 'VE-07' };
    expect(openDropBook(store.workshop).known(other)?.mean).toBeCloseTo(0.02, 6);
    expect(openDropBook(store.workshop).known(lotOf('ET96-7'))).toBeNull();
  });

  it('all swallowed by a tracked zero are suspected too, before any was ever learnt', () => {
    startDemo();
    balance.rest('0.00');
    bench.do({ type: 'confirm-vessel', tared: true, settled: settledNow() });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });
    balance.rest('0.00');
    expect(() => bench.learnDrops(10)).toThrow(
      '10 drops of lot VE-06 weigh about 0.31 g and the reading did not rise',
    );
    expect(view().pour?.notice?.text).toContain('the reading did not rise');
    expect(openDropBook(store.workshop).known(lotOf('VE-06'))).toBeNull();
  });

  it('kept by the code of their lot, before pipettes had names, are those of the common pipette', () => {
    store.workshop.set('drop of VE-06', JSON.stringify({ mean: 0.024, u: 0.001 }));
    expect(openDropBook(store.workshop).known(lotOf('VE-06'))?.mean).toBe(0.024);
    const fine = openDropBook(store.workshop);
    fine.use('fine');
    expect(fine.known(lotOf('VE-06'))).toBeNull();
  });

  it('that a tracked zero swallowed are suspected, said and not learnt; away from a zero another pipette is', async () => {
    firstBottle();
    balance.rest('50.20');
    bench.learnDrops(10);
    balance.rest('50.30');
    bench.learnDrops(10);
    expect(view().pour?.now).toMatchObject({ drop: '0.0100' });
    bench.do({ type: 'accept-under', settled: settledNow() });
    balance.rest('0.00');
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });
    const lot = bench.batch?.state.inHand?.lot ?? '';
    openDropBook(store.workshop).learn(lotOf(lot), { mean: 0.013, u: 0.0005 });
    await bench.detach();
    bench = newBench();
    bench.takeUp('batch-1');
    await bench.attach(balance);
    balance.rest('0.00');
    balance.rest('0.02');
    expect(() => bench.learnDrops(10)).toThrow('drift of its zero');
    expect(types().at(-1)).toBe('noticed');
    expect(view().pour?.notice?.text).toContain('10 drops');
    expect(openDropBook(store.workshop).known(lotOf(lot))?.mean).toBe(0.013);
  });

  it('are not learnt without two readings at rest, nor from a fall', () => {
    firstBottle();
    expect(() => bench.learnDrops(10)).toThrow(PourRefusal);
    balance.rest('49.90');
    expect(() => bench.learnDrops(10)).toThrow('did not rise');
  });
});

describe('after a stop in the middle', () => {
  it('the fold of the stored events is where the pour goes on', () => {
    firstBottle();
    balance.rest('52.00');
    const before = JSON.stringify(bench.batch?.state);
    bench = newBench();
    bench.takeUp('batch-1');
    expect(JSON.stringify(bench.batch?.state)).toBe(before);
  });

  it('an ended batch is not taken up', () => {
    firstBottle();
    bench.do({ type: 'abandon', reason: 'spilt' });
    bench = newBench();
    expect(() => bench.takeUp('batch-1')).toThrow('ended');
  });
});
