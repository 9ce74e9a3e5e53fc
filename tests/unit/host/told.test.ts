import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { StoredBench } from './test-bench.ts';

/** What the screen says of the balance, a pause and the end, so that the person knows what happened and what to do. */

let on: StoredBench;
beforeEach(async () => {
  on = await StoredBench.open();
});
afterEach(() => on.close());

describe('given a balance out of its range, or showing no weight', () => {
  it('the record has it once, and it is said afterwards that nothing was captured', () => {
    on.firstBottle();
    for (let n = 0; n < 5; n += 1)
      on.balance.say({ kind: 'out-of-range', way: 'over', at: on.balance.tick() });
    on.balance.rest('50.00');
    expect(on.types().filter((one) => one === 'noticed')).toHaveLength(1);
    expect(on.notice?.text).toContain('out of its range');
    expect(on.types()).not.toContain('captured');
  });

  it.each([
    ['over', 'Take off what lies on the pan'],
    ['under', 'is the pan in place?'],
  ] as const)('%s its range: what to do is said while it lasts, and no figure is shown', (way, words) => {
    on.firstBottle();
    on.balance.say({ kind: 'out-of-range', way, at: on.balance.tick() });
    expect(on.notice).toMatchObject({ level: 'stop', text: expect.stringContaining(words) });
    expect(on.view().pour).toMatchObject({ figure: '–', word: 'no reading' });
    expect(on.view().pour?.hint).toContain('Hold the pour');
  });

  it('counting pieces: named with what to do, and nothing captured', () => {
    on.firstBottle();
    on.balance.say({ kind: 'not-a-weight', what: 'a count of pieces', at: on.balance.tick() });
    expect(on.events().at(-1)).toMatchObject({ type: 'noticed', what: 'not a weight' });
    expect(on.types()).not.toContain('captured');
    expect(on.notice?.text).toContain('No weight on the display: a count of pieces. Switch it back to grams');
  });

  it('a line that cannot be read is said as such, beside the figure that was', () => {
    on.firstBottle();
    on.balance.read('50.40');
    on.balance.say({ kind: 'refused', raw: '?', why: 'the number is cut short', at: on.balance.tick() });
    expect(on.notice?.text).toContain(
      'The balance: the number is cut short. Nothing is taken from that line',
    );
    expect(on.view().pour?.now).toMatchObject({ poured: '0.40' });
  });

  it('another unit is told, with how it is counted', () => {
    on.firstBottle();
    on.balance.say({ ...on.balance.reading('50.0'), unit: 'oz', figure: '1.764', digits: 3 });
    expect(on.events().at(-1)).toMatchObject({ type: 'noticed', what: 'unit changed' });
    expect(on.notice?.text).toContain('changed from g to oz; it is counted in grams all the same');
  });
});

describe('given a pour past its window', () => {
  beforeEach(() => {
    on.firstBottle();
    on.balance.rest('52.40');
  });
  const offered = () => on.view().pour?.choices.length;

  it('no choice is offered while it is paused, the balance lost or the vessel off, since none could be taken', () => {
    expect(offered()).toBeGreaterThan(2);
    on.do({ type: 'pause', why: 'by hand', settled: on.settled });
    expect(offered()).toBe(0);
    expect(on.view().pour).toMatchObject({ word: 'paused', cue: null, actions: [{ do: 'resume' }, {}] });
    on.balance.rest('52.40');
    on.do({ type: 'resume', settled: on.settled });
    on.balance.link({ kind: 'lost', what: 'x', why: 'unplugged', retrying: true });
    expect(offered()).toBe(0);
    expect(on.view().pour?.actions.map((one) => one.do)).not.toContain('choose');
    on.balance.start();
    on.balance.rest('52.40');
    expect(offered()).toBeGreaterThan(2);
    on.through('30.00', '0.00');
    expect(offered()).toBe(0);
    on.balance.rest('52.40');
    expect(offered()).toBeGreaterThan(2);
  });
});

describe('given a line to skip', () => {
  const skipping = () => on.view().pour?.actions.find((one) => one.do === 'skip');

  it('which one it is, is said: the one in hand, or the next while the last is still told', () => {
    on.firstBottle();
    expect(skipping()).toMatchObject({ label: 'Skip this line', means: expect.stringContaining('Vetiver') });
    on.balance.rest('52.00');
    expect(on.view().pour?.now?.title).toContain('Vetiver');
    expect(skipping()).toMatchObject({
      label: 'Skip the next line',
      means: expect.stringContaining('Ethanol'),
    });
  });
});

describe('given a pour that is voided', () => {
  it('what that means is told before, and after it that the line is read again', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    const voiding = on.view().pour?.actions.find((one) => one.do === 'void');
    expect(voiding?.means).toContain('The reading is rejected, not the mass');
    on.do({ type: 'void', reason: 'leaned on the bench' });
    expect(on.view().pour?.phase).toBe('pouring');
    expect(on.notice?.text).toContain('Voided: leaned on the bench. The line is read again');
    on.balance.rest('52.00');
    expect(on.types().filter((one) => one === 'captured')).toHaveLength(2);
    expect(on.notice?.text).toContain('Voided: leaned on the bench.');
    on.takeBottle();
    expect(on.notice).toBe(null);
  });
});

describe('given a pause in the middle of a pour', () => {
  it('no word, cue or mark asks the hand to go on', () => {
    on.firstBottle();
    on.balance.rest('50.80');
    on.do({ type: 'pause', why: 'by hand', settled: on.settled });
    on.balance.read('50.80');
    expect(on.view().pour).toMatchObject({ word: 'paused', figure: '1.20', cue: null, willSettle: null });
    expect(on.view().pour?.hint).toBe('Nothing is captured until you resume.');
    on.balance.rest('50.80');
    on.do({ type: 'resume', settled: on.settled });
    expect(on.view().pour?.word).not.toBe('paused');
  });
});

describe('closing', () => {
  it('shows the gross as gross, and says how many lines were skipped', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.takeBottle();
    on.balance.rest('70.00');
    expect(on.view().pour).toMatchObject({ phase: 'closing', figure: '70.00', figureUnit: 'g gross' });
    expect(on.view().pour?.hint).toMatch(/^Every line is in\./);
  });

  it('tells the strength of a batch that holds a line nobody had planned', () => {
    const { lots, materials } = demoWorkshop();
    const lavender = lots.filter(({ code }) => code === 'LA-33');
    on.firstBottle();
    on.balance.rest('52.00');
    for (const lot of lavender) on.do({ type: 'add-line', lot, materials, reason: 'the nose' });
    on.takeBottle();
    on.balance.read('52.20');
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'settle', primary: true });
    on.balance.rest('52.40');
    expect(on.view().pour?.now).toMatchObject({ free: true });
    // It has no target: at rest the pedal says that it is done.
    expect(on.view().pour?.actions[0]).toMatchObject({ do: 'accept-under', key: 'Space', enabled: true });
    on.do({ type: 'accept-under', settled: on.settled });
    on.takeBottle();
    on.balance.rest('70.40');
    on.do({ type: 'close', settled: on.settled });
    // Neat: 2.00 g and 0.40 g of 20.40 g.
    expect(on.view().pour).toMatchObject({
      phase: 'closed',
      result: { strength: '11.76 %', total: '20.40' },
    });
  });

  it('after an early end does not say that every line is in', () => {
    on.firstBottle();
    on.balance.rest('52.00');
    on.do({ type: 'end-early', reason: 'enough', settled: on.settled });
    expect(on.view().pour?.hint).toMatch(/^1 line skipped or short, the rest is in\./);
  });
});
