import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Lot } from '../../../core/formula/types.ts';
import { PourRefusal } from '../../../core/pour/commands.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { openDropBook } from '../../../electron/host/drop-book.ts';
import { StoreTrouble } from '../../../electron/host/store/trouble.ts';
import { StoredBench } from './test-bench.ts';

let on: StoredBench;
beforeEach(async () => {
  on = await StoredBench.open();
});
afterEach(() => on.close());

describe('a pour on the bench', () => {
  it('goes from vessel to closed, and every view fits the table', () => {
    on.begin();
    expect(on.view().pour).toMatchObject({ phase: 'vessel', word: 'vessel' });
    on.balance.rest('50.00');
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'confirm-vessel', enabled: true });
    on.do({ type: 'confirm-vessel', settled: on.settled });
    expect(on.view().pour).toMatchObject({ phase: 'bottle', next: { lot: 'VE-06' } });
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.read('50.80');
    expect(on.view().pour).toMatchObject({
      phase: 'pouring',
      figure: '1.20',
      figureUnit: 'g to go',
      solid: false,
    });
    on.balance.rest('52.00');
    expect(on.view().pour).toMatchObject({ phase: 'bottle', word: 'inside', figure: '2.00', solid: true });
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.rest('70.00');
    expect(on.view().pour).toMatchObject({ phase: 'closing' });
    on.do({ type: 'close', settled: on.settled });
    expect(on.view().pour).toMatchObject({
      phase: 'closed',
      result: { strength: '10.00 %', closure: '0.00' },
    });
    expect(on.store.journal.batches()[0]).toMatchObject({ status: 'closed', total: '20' });
  });

  it('shows nothing as captured before it is on disk', () => {
    on.firstBottle();
    const seen: string[] = [];
    on.bench.onView((shown) => {
      if (shown.pour?.phase === 'bottle') seen.push(on.types().at(-1) ?? 'nothing');
    });
    on.balance.rest('52.00');
    expect(seen[0]).toBe('captured');
  });

  it('keeps each reading once: a revision stores what came after its capture, and is read whole', () => {
    on.firstBottle();
    const append = vi.spyOn(on.store.journal, 'append');
    on.balance.rest('52.00');
    on.balance.rest('52.01');
    const kept = append.mock.calls.flatMap(([, , , beside]) => beside?.trace ?? []);
    expect(kept).toHaveLength(2);
    const begins = kept.map(({ start }) => Date.parse(start));
    const ends = kept.map(({ start, readings }) => Date.parse(start) + (readings.at(-1)?.[0] ?? 0));
    expect(begins[1]).toBe((ends[0] ?? 0) + 100);
    const n = on.types().indexOf('revised') + 1;
    const whole = on.store.journal.trace('batch-1', n)?.readings ?? [];
    expect(whole).toHaveLength(kept.flatMap(({ readings }) => readings).length);
    expect(whole.map(([at]) => at)).toEqual(whole.map((_, i) => i * 100));
  });

  it('keeps the state and says why when the record cannot be written', () => {
    on.firstBottle();
    on.store.close();
    on.balance.rest('52.00');
    expect(on.bench.batch?.state.phase).toBe('pouring');
    expect(on.view().pour?.notice).toMatchObject({ level: 'stop' });
    expect(on.view().pour?.notice?.text).toContain('cannot be written');
    on.restart();
  });

  it('tries again by itself what could not be stored, once there is room', () => {
    on.firstBottle();
    const { journal } = on.store;
    const full = new StoreTrouble(
      'The disk is full: this was not stored.',
      on.folder,
      'Free some room on it.',
    );
    journal.append = vi.fn(journal.append).mockImplementationOnce(() => {
      throw full;
    });
    on.balance.rest('52.00');
    expect(on.types().filter((type) => type === 'captured')).toHaveLength(1);
    expect(on.view().pour).toMatchObject({ phase: 'bottle', word: 'inside', notice: null });
  });

  it('a fault of the program is told as one, not as a record that cannot be written', () => {
    on.firstBottle();
    on.store.journal.append = () => {
      throw new RangeError('a wrong sum');
    };
    on.balance.rest('52.00');
    const text = on.view().pour?.notice?.text;
    expect(text).toContain('a wrong sum');
    expect(text).toContain('fault of the program');
    expect(text).not.toContain('cannot be written');
    expect(on.bench.batch?.state.phase).toBe('pouring');
  });

  it('a rule that a reading goes against is told in its own words', () => {
    on.firstBottle();
    on.store.journal.append = () => {
      throw new PourRefusal('That cannot be.', 'Do this instead.');
    };
    on.balance.rest('52.00');
    expect(on.view().pour?.notice?.text).toBe('That cannot be. Do this instead.');
  });

  it('past the window shows the three choices first, then the further ones that apply', () => {
    on.firstBottle();
    on.balance.rest('52.30');
    const pour = on.view().pour;
    expect(pour).toMatchObject({ phase: 'over', figure: '0.30', state: 'over' });
    expect(pour?.choices.map((one) => [one.kind, one.key])).toEqual([
      ['least', '1'],
      ['exact', '2'],
      ['keep', '3'],
      ['withdraw-unmixed', '4'],
      ['again', '8'],
    ]);
    on.do({ type: 'choose', choice: 'exact' });
    expect(on.view().pour).toMatchObject({ phase: 'bottle', total: '23.00' });
  });
});

describe('the balance', () => {
  it('lost: nothing is captured, it is said, and the pour goes on when it is back', () => {
    on.firstBottle();
    on.balance.link({ kind: 'lost', what: 'x', why: 'the port closed', retrying: true });
    expect(on.view().pour?.notice).toMatchObject({ level: 'stop' });
    expect(() => on.do({ type: 'accept-under', settled: on.settled })).toThrow(PourRefusal);
    on.balance.start();
    on.balance.rest('52.00');
    expect(on.types()).toEqual(expect.arrayContaining(['balance-lost', 'balance-back', 'captured']));
  });

  it('in counting mode or overloaded: the figure is gone and the reading unsettled', () => {
    on.firstBottle();
    on.balance.say({ kind: 'not-a-weight', what: 'the balance counts pieces', at: on.balance.tick() });
    expect(on.view().live).toMatchObject({ g: null, message: 'the balance counts pieces', moving: true });
    on.balance.say({ kind: 'out-of-range', way: 'over', at: on.balance.tick() });
    expect(on.view().live.range).toBe('over');
    expect(on.types()).not.toContain('captured');
  });

  it('let go leaves nothing on the bench and is stopped', async () => {
    await on.bench.detach();
    expect(on.balance.stopped).toBe(true);
    expect(on.view().live.link).toBe('none');
  });
});

const lotOf = (code: string): Lot => {
  const lot = demoWorkshop().lots.find((one) => one.code === code);
  if (lot === undefined) throw new Error(`the demo workshop has no lot ${code}`);
  return lot;
};
const vetiver = () => openDropBook(on.store.workshop).known(lotOf('VE-06'))?.mean;
const learntNotes = (): string[] =>
  on.store.journal
    .events('batch-1')
    .flatMap(({ event }) => (event.type === 'noticed' && event.what === 'drop learnt' ? [event.detail] : []));

describe('drops', () => {
  it('typed, are learnt for the lot, written into the record and kept for the next batch', () => {
    on.firstBottle();
    const before = on.view().pour?.now;
    expect(before).toMatchObject({ drop: '0.0310', dropU: '0.0093' });
    on.balance.rest('50.20');
    on.bench.learnDrops(10);
    expect(on.view().pour?.now).toMatchObject({ drop: '0.0200' });
    expect(on.types()).toContain('noticed');
    expect(vetiver()).toBeCloseTo(0.02, 6);
  });

  it('learnt are of the pipette in use, are there after a restart, and are known of another lot of the liquid', () => {
    on.firstBottle();
    on.balance.rest('50.20');
    on.bench.learnDrops(10);
    on.bench.usePipette('1 mL pipette, fine tip');
    expect(on.view().pour).toMatchObject({
      now: { drop: '0.0310' },
      pipettes: ['1 mL pipette, fine tip', '3 mL pipette'],
    });
    on.balance.rest('50.32');
    on.bench.learnDrops(10);
    expect(on.view().pour?.now).toMatchObject({ drop: '0.0120' });
    expect(learntNotes()).toEqual([
      expect.stringContaining('from the 3 mL pipette weighed 0.2'),
      expect.stringContaining('from the 1 mL pipette, fine tip weighed 0.12'),
    ]);
    on.store.close();
    on.restart();
    on.bench.takeUp('batch-1');
    expect(on.view().pour).toMatchObject({ now: { drop: '0.0120', dropU: '0.0006' } });
    on.bench.usePipette('3 ML pipette');
    expect(on.view().pour?.pipettes?.[0]).toBe('3 mL pipette');
    expect(on.view().pour?.now).toMatchObject({ drop: '0.0200' });
    const other = { ...lotOf('VE-06'), code: 'VE-07' };
    expect(openDropBook(on.store.workshop).known(other)?.mean).toBeCloseTo(0.02, 6);
    expect(openDropBook(on.store.workshop).known(lotOf('ET96-7'))).toBeNull();
  });

  it('all swallowed by a tracked zero are suspected too, before any was ever learnt', () => {
    on.begin();
    on.balance.rest('0.00');
    on.do({ type: 'confirm-vessel', tared: true, settled: on.settled });
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    on.balance.rest('0.00');
    expect(() => on.bench.learnDrops(10)).toThrow(
      '10 drops of lot VE-06 weigh about 0.31 g and the reading did not rise',
    );
    expect(on.view().pour?.notice?.text).toContain('the reading did not rise');
    expect(openDropBook(on.store.workshop).known(lotOf('VE-06'))).toBeNull();
  });

  it('kept by the code of their lot, before pipettes had names, are those of the common pipette', () => {
    on.store.workshop.set('drop of VE-06', JSON.stringify({ mean: 0.024, u: 0.001 }));
    expect(openDropBook(on.store.workshop).known(lotOf('VE-06'))?.mean).toBe(0.024);
    const fine = openDropBook(on.store.workshop);
    fine.use('fine');
    expect(fine.known(lotOf('VE-06'))).toBeNull();
  });

  it('that a tracked zero swallowed are suspected, said and not learnt; away from a zero another pipette is', async () => {
    on.firstBottle();
    on.balance.rest('50.20');
    on.bench.learnDrops(10);
    on.balance.rest('50.30');
    on.bench.learnDrops(10);
    expect(on.view().pour?.now).toMatchObject({ drop: '0.0100' });
    on.do({ type: 'accept-under', settled: on.settled });
    on.balance.rest('0.00');
    on.do({ type: 'confirm-bottle', how: 'by eye', settled: on.settled });
    const lot = on.bench.batch?.state.inHand?.lot ?? '';
    openDropBook(on.store.workshop).learn(lotOf(lot), { mean: 0.013, u: 0.0005 });
    await on.bench.detach();
    on.start();
    on.bench.takeUp('batch-1');
    await on.attach();
    on.balance.rest('0.00');
    on.balance.rest('0.02');
    expect(() => on.bench.learnDrops(10)).toThrow('drift of its zero');
    expect(on.types().at(-1)).toBe('noticed');
    expect(on.view().pour?.notice?.text).toContain('10 drops');
    expect(openDropBook(on.store.workshop).known(lotOf(lot))?.mean).toBe(0.013);
  });

  it('are not learnt without two readings at rest, nor from a fall', () => {
    on.firstBottle();
    expect(() => on.bench.learnDrops(10)).toThrow(PourRefusal);
    on.balance.rest('49.90');
    expect(() => on.bench.learnDrops(10)).toThrow('did not rise');
  });
});

describe('after a stop in the middle', () => {
  it('the fold of the stored events is where the pour goes on', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    const before = JSON.stringify(on.bench.batch?.state);
    on.start();
    on.bench.takeUp('batch-1');
    expect(JSON.stringify(on.bench.batch?.state)).toBe(before);
  });

  it('an ended batch is not taken up', () => {
    on.firstBottle();
    on.do({ type: 'abandon', reason: 'spilt' });
    on.start();
    expect(() => on.bench.takeUp('batch-1')).toThrow('ended');
  });
});
