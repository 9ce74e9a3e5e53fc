import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { commandOf } from '../../../electron/host/commanding.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { StoredBench } from './test-bench.ts';

let on: StoredBench;
beforeEach(async () => {
  on = await StoredBench.open();
});
afterEach(() => on.close());

function both(): void {
  on.firstBottle();
  on.balance.rest('52.00');
  on.takeBottle();
  on.balance.rest('70.00');
}

describe('given a vessel lifted in the middle of a pour', () => {
  beforeEach(() => {
    on.firstBottle();
    on.balance.rest('50.80');
    on.through('30.00', '12.00', '0.00');
  });

  it('it is said at once, and nothing is captured', () => {
    expect(on.types().at(-1)).toBe('vessel-lifted');
    expect(on.notice).toMatchObject({ level: 'stop' });
    expect(on.notice?.text).toContain('off the balance');
    expect(on.view().pour).toMatchObject({ word: 'vessel off', now: { poured: '0.80' }, willSettle: null });
    on.balance.rest('0.00');
    expect(on.types()).not.toContain('captured');
    expect(on.types()).not.toContain('re-zeroed');
  });

  it('when it is back as it was, the pour goes on and only what is poured then is captured', () => {
    on.through('20.00', '51.30');
    on.balance.rest('50.80');
    expect(on.types().at(-1)).toBe('vessel-returned');
    expect(on.notice).toMatchObject({ level: 'info' });
    on.balance.rest('52.00');
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', net: '2.00', verdict: 'inside' });
  });

  it('when it is back heavier, that is no pour until the person says so', () => {
    on.balance.rest('52.00');
    expect(on.types()).not.toContain('captured');
    expect(on.notice).toMatchObject({ level: 'caution' });
    on.do({ type: 'accept-under', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', net: '2.00' });
    expect(on.notice).toBe(null);
  });

  it('when it is back heavier and nothing was poured, it is read anew and the net leaves that out', () => {
    on.balance.rest('51.00');
    on.do({ type: 're-read', settled: on.settled });
    on.balance.rest('52.20');
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', before: '50.20', net: '2.00' });
  });

  it('and the program killed before it is back, it is still missed', () => {
    on.start();
    on.bench.takeUp('batch-1');
    expect(on.notice?.text).toContain('off the balance');
  });
});

describe('given a vessel lifted with something in it', () => {
  beforeEach(() => {
    on.firstBottle();
    on.balance.rest('52.00');
  });

  it('what was read before is the rest it fell from, not a figure on the way down', () => {
    for (const g of ['51.98', '51.20', '50.40', '31.00', '6.00', '0.02', '0.00', '0.00']) on.balance.read(g);
    expect(on.events().at(-1)).toMatchObject({ type: 'vessel-lifted', last: '52.00' });
    on.balance.rest('52.00');
    expect(on.events().at(-1)).toMatchObject({ type: 'vessel-returned', off: '0.00' });
    expect(on.notice?.text).toContain('The vessel is back');
  });

  it('its return a step off revises nothing, at once or later', () => {
    on.through('25.00', '0.00');
    on.balance.rest('51.99');
    on.balance.rest('52.01');
    expect(on.types()).not.toContain('revised');
    on.takeBottle();
    expect(on.events().at(-1)).toMatchObject({ type: 'pour-begun', before: '52.01' });
  });
});

describe('given a vessel lifted between two pours', () => {
  beforeEach(() => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.through('25.00', '0.00');
  });

  it('the next bottle is refused until it is back, and the zero is not taken for a tare', () => {
    on.balance.rest('0.00');
    expect(() => on.takeBottle()).toThrow('off the balance');
    on.balance.rest('52.00');
    on.takeBottle();
    expect(on.types()).not.toContain('re-zeroed');
    expect(on.events().at(-1)).toMatchObject({ type: 'pour-begun', before: '52.00' });
  });

  it('its return with more in it does not revise the pour before', () => {
    on.balance.rest('52.40');
    expect(on.types()).not.toContain('revised');
    expect(on.notice).toMatchObject({ level: 'caution' });
  });

  it('and the person says that it stands there: the display was zeroed', () => {
    on.balance.rest('0.00');
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'was-zeroed', enabled: true });
    on.do({ type: 'was-zeroed', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 're-zeroed', from: '52', to: '0.00' });
    on.takeBottle();
    on.balance.rest('18.00');
    on.do({ type: 'close', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });
});

describe('given a display zeroed by hand', () => {
  it('in the middle of a pour, the net is counted across it', () => {
    on.firstBottle();
    on.balance.rest('50.80');
    on.balance.rest('0.00');
    expect(on.events().at(-1)).toMatchObject({ type: 're-zeroed', from: '50.80', to: '0.00' });
    expect(on.notice?.text).toContain('zeroed by hand');
    on.balance.rest('1.20');
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', net: '2.00', verdict: 'inside' });
    on.takeBottle();
    on.balance.rest('19.20');
    on.do({ type: 'close', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });

  it('while it moved, the record says that the figure is doubtful', () => {
    on.firstBottle();
    on.balance.read('50.40');
    on.balance.read('51.10');
    on.balance.rest('0.00');
    expect(on.types().slice(-2)).toEqual(['re-zeroed', 'noticed']);
    expect(on.events().at(-1)).toMatchObject({ what: 're-zeroed while moving' });
  });

  it('twice, the second one is seen where the vessel no longer weighs anything', () => {
    both();
    on.balance.rest('0.00');
    on.do({ type: 'close', settled: on.settled });
    expect(on.types().filter((one) => one === 're-zeroed')).toHaveLength(1);
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });
});

describe('given a touch', () => {
  it('between two pours, it is said and changes nothing', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.through('53.10');
    on.balance.rest('52.00');
    expect(on.events().at(-1)).toMatchObject({ type: 'noticed', what: 'knock' });
    expect(on.notice?.text).toContain('touched');
    expect(on.types().filter((one) => one === 'captured' || one === 'revised')).toEqual(['captured']);
  });

  it('drops that fall are none', () => {
    on.firstBottle();
    on.balance.rest('50.50');
    on.balance.read('50.70');
    on.balance.rest('50.51');
    expect(on.types()).not.toContain('noticed');
  });
});

describe('given a time away', () => {
  const pauseFor = (count: number, back: string): void => {
    on.do({ type: 'pause', why: 'by hand', settled: on.settled });
    on.minutes(count);
    on.balance.rest(back);
    on.do({ type: 'resume', settled: on.settled });
  };

  it('a gross within 2 d + 0.5 d a minute goes on as it was', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    pauseFor(10, '51.94');
    expect(on.types()).not.toContain('noticed');
  });

  it('beyond it, it is said, and the next pour begins where it is read anew', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    pauseFor(10, '51.90');
    expect(on.events().at(-1)).toMatchObject({ type: 'noticed', what: 'gross differs after a time away' });
    expect(on.notice).toMatchObject({ level: 'caution' });
    expect(() => on.takeBottle()).toThrow('51.90');
    on.do({ type: 're-read', settled: on.settled });
    on.takeBottle();
    expect(on.events().at(-1)).toMatchObject({ type: 'pour-begun', before: '51.90' });
    on.balance.rest('69.90');
    on.do({ type: 'close', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', closure: '-0.10' });
  });

  it('in the middle of a pour, what came meanwhile is not captured by itself', () => {
    on.firstBottle();
    on.balance.rest('50.80');
    pauseFor(1, '52.00');
    on.balance.rest('52.01');
    expect(on.types()).not.toContain('captured');
    on.do({ type: 'accept-under', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', net: '2.01' });
  });

  it('after a lost balance the gross is looked at again', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.takeBottle();
    on.balance.rest('70.00');
    on.balance.link({ kind: 'lost', what: 'x', why: 'unplugged', retrying: true });
    on.minutes(1);
    on.balance.start();
    on.balance.rest('69.50');
    expect(on.events().at(-1)).toMatchObject({ type: 'noticed', what: 'gross differs after a time away' });
  });

  it('after 45 minutes of work a break is due; once taken it is in the record and no longer due', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    expect(on.notice).toBe(null);
    on.minutes(45);
    on.balance.rest('52.00');
    expect(on.notice?.text).toContain('Break due');
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'heed', enabled: true });
    pauseFor(14, '52.00');
    expect(on.types()).not.toContain('break-taken');
    expect(on.notice?.text).toContain('Break due');
    pauseFor(15, '52.00');
    expect(on.events().at(-1)).toMatchObject({ type: 'break-taken', minutes: 15 });
    expect(on.notice).toBe(null);
  });
});

describe('given a next bottle that is poured before it is said', () => {
  const offered = () => on.view().pour?.actions.some((one) => one.do === 'was-next');
  const wasNext = () =>
    on.do(commandOf({ do: 'was-next' }, on.settled, { state: null, workshop: demoWorkshop }));

  it('what rose is given to its line, its first drop included, and the pour before stands as it was', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    expect(offered()).toBe(false);
    on.through('52.01', '52.02');
    on.balance.rest('52.03');
    on.balance.rest('52.40');
    expect(on.view().pour).toMatchObject({ phase: 'over' });
    expect(offered()).toBe(true);
    wasNext();
    expect(on.types().slice(-3)).toEqual(['revised', 'confirmed', 'pour-begun']);
    expect(on.events().at(-3)).toMatchObject({ after: '52.00', net: '2.00', verdict: 'inside' });
    expect(on.events().at(-1)).toMatchObject({ lot: 'ET96-7', before: '52.00' });
    on.balance.rest('70.00');
    expect(on.events().at(-1)).toMatchObject({ type: 'captured', net: '18.00', verdict: 'inside' });
    expect(offered()).toBe(false);
    on.do({ type: 'close', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', closure: '0.00' });
  });

  it('a drop that stays inside the window of the pour before is found too', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.balance.rest('52.02');
    expect(on.events().at(-1)).toMatchObject({ type: 'revised', net: '2.02', verdict: 'inside' });
    wasNext();
    expect(on.events().at(-1)).toMatchObject({ type: 'pour-begun', before: '52.00' });
  });

  it('nothing is given to it where nothing rose, after a pour that was past its window, or by a program begun since', () => {
    on.firstBottle();
    on.balance.rest('52.30');
    expect(wasNext).toThrow('No rise was seen');
    on.balance.rest('52.60');
    expect(wasNext).toThrow('had not come to its window');
    on.start();
    on.bench.takeUp('batch-1');
    expect(offered()).toBe(false);
    expect(wasNext).toThrow('No rise was seen');
  });
});

describe('closing with the check', () => {
  it('takes the values, then the empty pan once the vessel is lifted, and closes by the values', () => {
    both();
    on.do({ type: 'weigh-off', settled: on.settled });
    expect(on.view().pour).toMatchObject({
      word: 'lift it',
      check: { closure: '0.00', passes: true, pan: null },
    });
    on.through('30.00');
    on.balance.rest('0.01');
    expect(on.events().at(-1)).toMatchObject({ type: 'pan-checked', pan: '0.01', passes: true });
    expect(on.types()).not.toContain('vessel-lifted');
    expect(on.view().pour).toMatchObject({ word: 'checked' });
    on.do({ type: 'close', settled: on.settled });
    expect(on.events().at(-1)).toMatchObject({ type: 'closed', gross: '70.00', closure: '0.00' });
  });

  it('flags a pan that is off by more than 2 d + 0.5 d a minute, and closes all the same', () => {
    both();
    on.do({ type: 'weigh-off', settled: on.settled });
    on.balance.rest('0.12');
    expect(on.events().at(-1)).toMatchObject({ type: 'pan-checked', passes: false });
    expect(on.view().pour?.word).toBe('flagged');
    on.do({ type: 'close', settled: on.settled });
    expect(on.view().pour?.phase).toBe('closed');
  });
});

describe('cautions', () => {
  it('shown, never block; heeded once they do not come back', () => {
    on.vesselTaken();
    expect(on.view().pour?.cautions?.map((one) => one.key)).toEqual(
      expect.arrayContaining(['pipette', 'lid']),
    );
    on.takeBottle();
    expect(on.view().pour?.phase).toBe('pouring');
  });

  it('shown, come before the bottle on the pedal, all with one press; a key of its own takes the bottle', () => {
    on.vesselTaken();
    const [first, second] = on.view().pour?.actions ?? [];
    expect(first).toMatchObject({ do: 'heed', key: 'Space', primary: true });
    expect(second).toMatchObject({ do: 'confirm-bottle', key: 'O', primary: false, enabled: true });
    const due = on.view().pour?.cautions?.map((one) => one.key) ?? [];
    const beside = { state: on.bench.batch?.state ?? null, workshop: () => demoWorkshop() };
    on.do(commandOf({ do: 'heed' }, on.settled, beside));
    expect(on.events().flatMap((one) => (one.type === 'caution-heeded' ? [one.caution] : []))).toEqual(due);
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'confirm-bottle', key: 'Space', primary: true });
    on.do({ type: 'heed', caution: due[0] ?? '', also: due });
    expect(on.types().filter((one) => one === 'caution-heeded')).toHaveLength(due.length);
  });

  it('required, are heeded one press each', () => {
    on.vesselTaken('required');
    const due = on.view().pour?.cautions?.length ?? 0;
    const beside = { state: on.bench.batch?.state ?? null, workshop: () => demoWorkshop() };
    on.do(commandOf({ do: 'heed' }, on.settled, beside));
    expect(on.view().pour?.cautions).toHaveLength(due - 1);
    expect(on.view().pour?.actions.map((one) => one.do)).not.toContain('confirm-bottle');
  });

  it('required, stop the bottle until each is heeded; what was heeded is in the record', () => {
    on.vesselTaken('required');
    expect(() => on.takeBottle()).toThrow();
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'heed' });
    for (const { key } of on.view().pour?.cautions ?? []) on.do({ type: 'heed', caution: key });
    on.takeBottle();
    expect(on.types().filter((one) => one === 'caution-heeded').length).toBeGreaterThan(2);
    on.balance.rest('52.00');
    expect(on.view().pour?.cautions?.map((one) => one.key)).toEqual(['flame']);
  });
});
