import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { commandOf } from '../../../electron/host/commanding.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { openDropBook } from '../../../electron/host/drop-book.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
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
  folder = mkdtempSync(join(tmpdir(), 'pourwright-interrupted-'));
  store = openStore(folder);
  balance = new FakeBalance();
  bench = newBench();
  await bench.attach(balance);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const view = (): BenchView => BenchView.parse(bench.view());
const notice = () => view().pour?.notice;
const events = (): PourEvent[] => store.journal.events('batch-1').map((one) => one.event);
const types = (): string[] => events().map((one) => one.type);
const settledNow = () => bench.settling.settled;
const minutes = (count: number): void => {
  balance.at += count * 60_000;
};

/** Vessel 50.00 g, then VE-06 to 2.00 g and ethanol to 18.00 g. */
function vesselTaken(cautions: 'shown' | 'required' = 'shown'): void {
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas.find((one) => one.id === 'vetiver-dilution-10');
  if (formula === undefined) throw new Error('the demo workshop has no dilution');
  bench.start({ formula, materials, lots, operator: 'tester', balance: { name: 'test' }, cautions });
  balance.rest('50.00');
  bench.do({ type: 'confirm-vessel', settled: settledNow() });
}

const takeBottle = (): void => bench.do({ type: 'confirm-bottle', how: 'by eye', settled: settledNow() });

function firstBottle(): void {
  vesselTaken();
  takeBottle();
}

/** The display goes down, or up, as under a hand: through what lies between. */
function through(...figures: string[]): void {
  for (const g of figures) for (let n = 0; n < 4; n += 1) balance.read(g);
}

function both(): void {
  firstBottle();
  balance.rest('52.00');
  takeBottle();
  balance.rest('70.00');
}

describe('given a vessel lifted in the middle of a pour', () => {
  beforeEach(() => {
    firstBottle();
    balance.rest('50.80');
    through('30.00', '12.00', '0.00');
  });

  it('it is said at once, and nothing is captured', () => {
    expect(types().at(-1)).toBe('vessel-lifted');
    expect(notice()).toMatchObject({ level: 'stop' });
    expect(notice()?.text).toContain('off the balance');
    expect(view().pour).toMatchObject({ word: 'vessel off', now: { poured: '0.80' }, willSettle: null });
    balance.rest('0.00');
    expect(types()).not.toContain('captured');
    expect(types()).not.toContain('re-zeroed');
  });

  it('when it is back as it was, the pour goes on and only what is poured then is captured', () => {
    through('20.00', '51.30');
    balance.rest('50.80');
    expect(types().at(-1)).toBe('vessel-returned');
    expect(notice()).toMatchObject({ level: 'info' });
    balance.rest('52.00');
    expect(events().at(-1)).toMatchObject({ type: 'captured', net: '2.00', verdict: 'inside' });
  });

  it('when it is back heavier, that is no pour until the person says so', () => {
    balance.rest('52.00');
    expect(types()).not.toContain('captured');
    expect(notice()).toMatchObject({ level: 'caution' });
    bench.do({ type: 'accept-under', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'captured', net: '2.00' });
    expect(notice()).toBe(null);
  });

  it('when it is back heavier and nothing was poured, it is read anew and the net leaves that out', () => {
    balance.rest('51.00');
    bench.do({ type: 're-read', settled: settledNow() });
    balance.rest('52.20');
    expect(events().at(-1)).toMatchObject({ type: 'captured', before: '50.20', net: '2.00' });
  });

  it('and the program killed before it is back, it is still missed', () => {
    bench = newBench();
    bench.takeUp('batch-1');
    expect(notice()?.text).toContain('off the balance');
  });
});

describe('given a vessel lifted with something in it', () => {
  beforeEach(() => {
    firstBottle();
    balance.rest('52.00');
  });

  it('what was read before is the rest it fell from, not a figure on the way down', () => {
    for (const g of ['51.98', '51.20', '50.40', '31.00', '6.00', '0.02', '0.00', '0.00']) balance.read(g);
    expect(events().at(-1)).toMatchObject({ type: 'vessel-lifted', last: '52.00' });
    balance.rest('52.00');
    expect(events().at(-1)).toMatchObject({ type: 'vessel-returned', off: '0.00' });
    expect(notice()?.text).toContain('The vessel is back');
  });

  it('its return a step off revises nothing, at once or later', () => {
    through('25.00', '0.00');
    balance.rest('51.99');
    balance.rest('52.01');
    expect(types()).not.toContain('revised');
    takeBottle();
    expect(events().at(-1)).toMatchObject({ type: 'pour-begun', before: '52.01' });
  });
});

describe('given a vessel lifted between two pours', () => {
  beforeEach(() => {
    firstBottle();
    balance.rest('52.00');
    through('25.00', '0.00');
  });

  it('the next bottle is refused until it is back, and the zero is not taken for a tare', () => {
    balance.rest('0.00');
    expect(takeBottle).toThrow('off the balance');
    balance.rest('52.00');
    takeBottle();
    expect(types()).not.toContain('re-zeroed');
    expect(events().at(-1)).toMatchObject({ type: 'pour-begun', before: '52.00' });
  });

  it('its return with more in it does not revise the pour before', () => {
    balance.rest('52.40');
    expect(types()).not.toContain('revised');
    expect(notice()).toMatchObject({ level: 'caution' });
  });

  it('and the person says that it stands there: the display was zeroed', () => {
    balance.rest('0.00');
    expect(view().pour?.actions[0]).toMatchObject({ do: 'was-zeroed', enabled: true });
    bench.do({ type: 'was-zeroed', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 're-zeroed', from: '52', to: '0.00' });
    takeBottle();
    balance.rest('18.00');
    bench.do({ type: 'close', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });
});

describe('given a display zeroed by hand', () => {
  it('in the middle of a pour, the net is counted across it', () => {
    firstBottle();
    balance.rest('50.80');
    balance.rest('0.00');
    expect(events().at(-1)).toMatchObject({ type: 're-zeroed', from: '50.80', to: '0.00' });
    expect(notice()?.text).toContain('zeroed by hand');
    balance.rest('1.20');
    expect(events().at(-1)).toMatchObject({ type: 'captured', net: '2.00', verdict: 'inside' });
    takeBottle();
    balance.rest('19.20');
    bench.do({ type: 'close', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });

  it('while it moved, the record says that the figure is doubtful', () => {
    firstBottle();
    balance.read('50.40');
    balance.read('51.10');
    balance.rest('0.00');
    expect(types().slice(-2)).toEqual(['re-zeroed', 'noticed']);
    expect(events().at(-1)).toMatchObject({ what: 're-zeroed while moving' });
  });

  it('twice, the second one is seen where the vessel no longer weighs anything', () => {
    both();
    balance.rest('0.00');
    bench.do({ type: 'close', settled: settledNow() });
    expect(types().filter((one) => one === 're-zeroed')).toHaveLength(1);
    expect(events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });
});

describe('given a touch', () => {
  it('between two pours, it is said and changes nothing', () => {
    firstBottle();
    balance.rest('52.00');
    through('53.10');
    balance.rest('52.00');
    expect(events().at(-1)).toMatchObject({ type: 'noticed', what: 'knock' });
    expect(notice()?.text).toContain('touched');
    expect(types().filter((one) => one === 'captured' || one === 'revised')).toEqual(['captured']);
  });

  it('drops that fall are none', () => {
    firstBottle();
    balance.rest('50.50');
    balance.read('50.70');
    balance.rest('50.51');
    expect(types()).not.toContain('noticed');
  });
});

describe('given a balance out of its range, or showing no weight', () => {
  it('the record has it once, and it is said afterwards that nothing was captured', () => {
    firstBottle();
    for (let n = 0; n < 5; n += 1) balance.say({ kind: 'out-of-range', way: 'over', at: balance.tick() });
    balance.rest('50.00');
    expect(types().filter((one) => one === 'noticed')).toHaveLength(1);
    expect(notice()?.text).toContain('out of its range');
    expect(types()).not.toContain('captured');
  });

  it('counting pieces: named, and nothing captured', () => {
    firstBottle();
    balance.say({ kind: 'not-a-weight', what: 'the balance counts pieces', at: balance.tick() });
    expect(events().at(-1)).toMatchObject({ type: 'noticed', what: 'not a weight' });
    expect(types()).not.toContain('captured');
  });

  it('another unit is told', () => {
    firstBottle();
    balance.say({ ...balance.reading('50.0'), unit: 'oz', figure: '1.764', digits: 3 });
    expect(events().at(-1)).toMatchObject({ type: 'noticed', what: 'unit changed' });
  });
});

describe('given a time away', () => {
  const pauseFor = (count: number, back: string): void => {
    bench.do({ type: 'pause', why: 'by hand', settled: settledNow() });
    minutes(count);
    balance.rest(back);
    bench.do({ type: 'resume', settled: settledNow() });
  };

  it('a gross within 2 d + 0.5 d a minute goes on as it was', () => {
    firstBottle();
    balance.rest('52.00');
    pauseFor(10, '51.94');
    expect(types()).not.toContain('noticed');
  });

  it('beyond it, it is said, and the next pour begins where it is read anew', () => {
    firstBottle();
    balance.rest('52.00');
    pauseFor(10, '51.90');
    expect(events().at(-1)).toMatchObject({ type: 'noticed', what: 'gross differs after a time away' });
    expect(notice()).toMatchObject({ level: 'caution' });
    expect(takeBottle).toThrow('51.90');
    bench.do({ type: 're-read', settled: settledNow() });
    takeBottle();
    expect(events().at(-1)).toMatchObject({ type: 'pour-begun', before: '51.90' });
    balance.rest('69.90');
    bench.do({ type: 'close', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'closed', closure: '-0.10' });
  });

  it('in the middle of a pour, what came meanwhile is not captured by itself', () => {
    firstBottle();
    balance.rest('50.80');
    pauseFor(1, '52.00');
    balance.rest('52.01');
    expect(types()).not.toContain('captured');
    bench.do({ type: 'accept-under', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'captured', net: '2.01' });
  });

  it('after a lost balance the gross is looked at again', () => {
    firstBottle();
    balance.rest('52.00');
    takeBottle();
    balance.rest('70.00');
    balance.link({ kind: 'lost', what: 'x', why: 'unplugged', retrying: true });
    minutes(1);
    balance.start();
    balance.rest('69.50');
    expect(events().at(-1)).toMatchObject({ type: 'noticed', what: 'gross differs after a time away' });
  });

  it('after 45 minutes of work a break is due; once taken it is in the record and no longer due', () => {
    firstBottle();
    balance.rest('52.00');
    expect(notice()).toBe(null);
    minutes(45);
    balance.rest('52.00');
    expect(notice()?.text).toContain('Break due');
    expect(view().pour?.actions[0]).toMatchObject({ do: 'heed', enabled: true });
    pauseFor(14, '52.00');
    expect(types()).not.toContain('break-taken');
    expect(notice()?.text).toContain('Break due');
    pauseFor(15, '52.00');
    expect(events().at(-1)).toMatchObject({ type: 'break-taken', minutes: 15 });
    expect(notice()).toBe(null);
  });
});

describe('closing with the check', () => {
  it('takes the values, then the empty pan once the vessel is lifted, and closes by the values', () => {
    both();
    bench.do({ type: 'weigh-off', settled: settledNow() });
    expect(view().pour).toMatchObject({
      word: 'lift it',
      check: { closure: '0.00', passes: true, pan: null },
    });
    through('30.00');
    balance.rest('0.01');
    expect(events().at(-1)).toMatchObject({ type: 'pan-checked', pan: '0.01', passes: true });
    expect(types()).not.toContain('vessel-lifted');
    expect(view().pour).toMatchObject({ word: 'checked' });
    bench.do({ type: 'close', settled: settledNow() });
    expect(events().at(-1)).toMatchObject({ type: 'closed', gross: '70.00', closure: '0.00' });
  });

  it('flags a pan that is off by more than 2 d + 0.5 d a minute, and closes all the same', () => {
    both();
    bench.do({ type: 'weigh-off', settled: settledNow() });
    balance.rest('0.12');
    expect(events().at(-1)).toMatchObject({ type: 'pan-checked', passes: false });
    expect(view().pour?.word).toBe('flagged');
    bench.do({ type: 'close', settled: settledNow() });
    expect(view().pour?.phase).toBe('closed');
  });
});

describe('cautions', () => {
  it('shown, never block; heeded once they do not come back', () => {
    vesselTaken();
    expect(view().pour?.cautions?.map((one) => one.key)).toEqual(expect.arrayContaining(['pipette', 'lid']));
    takeBottle();
    expect(view().pour?.phase).toBe('pouring');
  });

  it('shown, come before the bottle on the pedal, all with one press; a key of its own takes the bottle', () => {
    vesselTaken();
    const [first, second] = view().pour?.actions ?? [];
    expect(first).toMatchObject({ do: 'heed', key: 'Space', primary: true });
    expect(second).toMatchObject({ do: 'confirm-bottle', key: 'O', primary: false, enabled: true });
    const due = view().pour?.cautions?.map((one) => one.key) ?? [];
    const beside = { state: bench.batch?.state ?? null, workshop: () => demoWorkshop() };
    bench.do(commandOf({ do: 'heed' }, settledNow(), beside));
    expect(events().flatMap((one) => (one.type === 'caution-heeded' ? [one.caution] : []))).toEqual(due);
    expect(view().pour?.actions[0]).toMatchObject({ do: 'confirm-bottle', key: 'Space', primary: true });
    bench.do({ type: 'heed', caution: due[0] ?? '', also: due });
    expect(types().filter((one) => one === 'caution-heeded')).toHaveLength(due.length);
  });

  it('required, are heeded one press each', () => {
    vesselTaken('required');
    const due = view().pour?.cautions?.length ?? 0;
    const beside = { state: bench.batch?.state ?? null, workshop: () => demoWorkshop() };
    bench.do(commandOf({ do: 'heed' }, settledNow(), beside));
    expect(view().pour?.cautions).toHaveLength(due - 1);
    expect(view().pour?.actions.map((one) => one.do)).not.toContain('confirm-bottle');
  });

  it('required, stop the bottle until each is heeded; what was heeded is in the record', () => {
    vesselTaken('required');
    expect(takeBottle).toThrow();
    expect(view().pour?.actions[0]).toMatchObject({ do: 'heed' });
    for (const { key } of view().pour?.cautions ?? []) bench.do({ type: 'heed', caution: key });
    takeBottle();
    expect(types().filter((one) => one === 'caution-heeded').length).toBeGreaterThan(2);
    balance.rest('52.00');
    expect(view().pour?.cautions?.map((one) => one.key)).toEqual(['flame']);
  });
});
