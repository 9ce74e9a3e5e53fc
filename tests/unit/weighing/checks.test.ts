import { describe, expect, it } from 'vitest';
import { resultOf } from '../../../core/weighing/check-results.ts';
import type { CheckedBalance } from '../../../core/weighing/check-rules.ts';
import { beginCheck, hearLost, hearNoWeight, hearReading, say } from '../../../core/weighing/check-run.ts';
import { type CheckRun, counted } from '../../../core/weighing/check-state.ts';
import { type CheckOrder, expectOrder } from '../../../core/weighing/check-steps.ts';
import { rulesFor } from '../../../core/weighing/check-told.ts';
import type { Reading } from '../../../core/weighing/reading.ts';

const BALANCE: CheckedBalance = { d: '0.01', capacity: '200', e: null, balanceClass: null };
const WEIGHT = { parts: ['100'], weightClass: 'F2' } as const;
const DAILY: CheckOrder = { kind: 'daily', weights: WEIGHT };

/** A check, and a hand that shows it figures at ten a second. */
class Given {
  run: CheckRun;
  at = 1_764_000_000_000;

  constructor(order: CheckOrder, balance = BALANCE) {
    expectOrder(order, balance);
    this.run = beginCheck(order, balance);
  }

  read(g: string, more: Partial<Reading> = {}): this {
    this.at += 100;
    const reading: Reading = {
      kind: 'weight',
      g,
      figure: g,
      digits: 2,
      unit: 'g',
      stable: null,
      at: this.at,
      ...more,
    };
    this.run = hearReading(this.run, reading);
    return this;
  }

  /** So long at one figure. */
  rest(g: string, seconds = 4): this {
    for (let n = 0; n < seconds * 10; n += 1) this.read(g);
    return this;
  }

  say(what: Parameters<typeof say>[1]): this {
    this.run = say(this.run, what);
    return this;
  }

  get labels(): string[] {
    return counted(this.run).map((one) => `${one.label} ${one.g}`);
  }
}

const zeroed = (order: CheckOrder): Given => new Given(order).rest('0.00').say('take');

describe('a daily check', () => {
  it('given zero, the weight on and off, takes each figure by itself and passes', () => {
    const hand = zeroed(DAILY).rest('100.01').rest('0.00');
    expect(hand.labels).toEqual(['zero 0.00', 'weight on 100.01', 'back to zero 0.00']);
    expect(resultOf(hand.run)).toMatchObject({
      verdict: 'pass',
      text: '100 g, class F2, read 100.01 g: error +0.01 g, limit ± 0.02 g.',
      main: { g: '0.01', low: '-0.02', high: '0.02' },
    });
  });

  it('given an error above twice the error at verification, fails', () => {
    const hand = zeroed(DAILY).rest('99.97').rest('0.00');
    expect(resultOf(hand.run)).toMatchObject({ verdict: 'fail', main: { g: '-0.03' } });
  });

  it('given a coarse weight, is doubtful until no weight of its class explains the error', () => {
    const coarse: CheckOrder = { kind: 'daily', weights: { parts: ['100'], weightClass: 'M2' } };
    expect(resultOf(zeroed(coarse).rest('100.03').rest('0.00').run).verdict).toBe('doubtful');
    expect(resultOf(zeroed(coarse).rest('100.04').rest('0.00').run).verdict).toBe('fail');
    expect(resultOf(zeroed(coarse).rest('100.00').rest('0.00').run).text).toContain('too coarse to tell');
  });

  it('does not take zero by itself: the person says that the pan is empty', () => {
    const hand = new Given(DAILY).rest('0.00', 20);
    expect(hand.labels).toEqual([]);
    expect(() => new Given(DAILY).rest('0.05').say('take')).toThrow(/nothing to weigh/);
    expect(() => new Given(DAILY).read('0.00').say('take')).toThrow(/Nothing rests/);
  });

  it('told a pan that does not come back to zero, and fails when that is taken all the same', () => {
    const hand = zeroed(DAILY).rest('100.00').rest('0.04');
    expect(hand.run.trouble).toMatchObject({ kind: 'not-zero' });
    expect(hand.run.phase).toBe('stations');
    hand.say('take-all-the-same');
    const { verdict, text, rules } = resultOf(hand.run);
    expect(verdict).toBe('fail');
    expect(text).toContain('did not come back to zero');
    expect(rules.join()).toContain('Taken all the same. back to zero');
  });

  it('told a display that was zeroed under load', () => {
    const hand = zeroed(DAILY).rest('100.00').rest('0.00').run;
    expect(hand.phase).toBe('done');
    const zeroedUnderLoad = zeroed(DAILY).rest('100.00').rest('-100.00');
    expect(zeroedUnderLoad.run.trouble?.text).toContain('zeroed with something on the pan');
  });

  it('told another weight than was named; what stands on the pan still is no trouble', () => {
    const hand = zeroed(DAILY).rest('50.00');
    expect(hand.run.trouble).toMatchObject({ kind: 'not-it' });
    expect(hand.labels).toEqual(['zero 0.00']);
    hand.rest('100.00');
    expect(hand.run.trouble).toBeNull();
    hand.rest('100.00', 30);
    expect(hand.run.trouble).toBeNull();
    expect(hand.labels).toHaveLength(2);
  });

  it('told a touch, and a reading that never rests', () => {
    const hand = zeroed(DAILY).rest('100.00', 1).read('100.20');
    expect(hand.run.trouble).toMatchObject({ kind: 'touched' });
    const restless = zeroed(DAILY);
    for (let n = 0; n < 250; n += 1) restless.read((100 + (n % 7) * 0.05).toFixed(2));
    expect(restless.run.trouble).toMatchObject({ kind: 'restless' });
  });

  it('told no unrest where the hand was slow: the weight goes on after a minute, the word comes after another', () => {
    const hand = new Given(DAILY).rest('0.00', 60).read('0.30').read('0.10');
    expect(hand.run.trouble).toBeNull();
    hand.rest('0.00').say('take').rest('0.00', 60).read('40.00').read('90.00');
    expect(hand.run.trouble).toBeNull();
    expect(hand.rest('100.00').labels).toHaveLength(2);
    hand.rest('100.00', 60).read('60.00').read('20.00');
    expect(hand.run.trouble).toBeNull();
  });

  it('told a display that was zeroed with the weight on before it was taken, which nobody may take', () => {
    const hand = zeroed(DAILY).read('99.90').rest('-100.00');
    expect(hand.run.trouble).toMatchObject({ kind: 'range' });
    expect(() => hand.say('take-all-the-same')).toThrow(/zeroed with something on the pan/);
    expect(hand.say('again').rest('0.00').say('take').rest('100.00').labels).toHaveLength(2);
  });

  it('told another unit, which is not read until it is switched back', () => {
    const hand = zeroed(DAILY);
    for (let n = 0; n < 40; n += 1) hand.read('100.00', { unit: 'ct', figure: '500.00' });
    expect(hand.run.trouble).toMatchObject({ kind: 'unit' });
    expect(hand.labels).toEqual(['zero 0.00']);
    expect(hand.rest('100.00').labels).toHaveLength(2);
  });

  it('told a lost balance: from the last zero on all is taken anew, and what was taken stays', () => {
    const hand = zeroed(DAILY).rest('100.00');
    hand.run = hearLost(hand.run, 'the cable was pulled');
    expect(hand.run.trouble).toMatchObject({ kind: 'lost' });
    expect(hand.run.station).toBe(0);
    expect(hand.run.taken.map((one) => one.void)).toEqual(['balance lost', 'balance lost']);
    hand.rest('0.00').say('take').rest('100.00').rest('0.00');
    expect(resultOf(hand.run).verdict).toBe('pass');
    expect(hand.run.taken).toHaveLength(5);
  });

  it('told an overload', () => {
    expect(hearNoWeight(zeroed(DAILY).run, 'the balance is over its range').trouble?.kind).toBe('range');
  });

  it('takes typed figures one by one', () => {
    const hand = new Given(DAILY).read('0.00', { typed: true }).say('take');
    hand.read('100.00', { typed: true }).read('0.00', { typed: true });
    expect(resultOf(hand.run).verdict).toBe('pass');
  });
});

describe('repeatability', () => {
  const order: CheckOrder = { kind: 'repeatability', load: null, n: 5 };
  const weighed = (nets: readonly string[]): Given =>
    nets.reduce((hand, net) => hand.rest(net).rest('0.00'), zeroed(order));

  it('gives s with n - 1, its uncertainty, and the greatest difference against R 76', () => {
    const found = resultOf(weighed(['50.00', '50.01', '49.99', '50.00', '50.00']).run);
    expect(found.verdict).toBe('fail');
    expect(Number(found.s?.g)).toBeCloseTo(0.00707107, 8);
    expect(Number(found.s?.u)).toBeCloseTo(0.00707107 / 8 ** 0.5, 5);
    expect(found.main).toEqual({ what: 'greatest difference', g: '0.02', low: null, high: '0.01' });
    expect(resultOf(weighed(['50.00', '50.01', '50.00', '50.00', '50.00']).run).verdict).toBe('pass');
  });

  it('told a load beyond the capacity, which nobody may take', () => {
    const hand = zeroed(order).rest('250.00');
    expect(hand.run.trouble?.text).toContain('the capacity of this balance is taken as 200 g');
    expect(() => hand.say('take')).toThrow(/put on less/);
    expect(() => hand.say('take-all-the-same')).toThrow(/put on less/);
    expect(hand.rest('0.00').rest('50.00').labels).toEqual(['zero 0.00', 'weighing 1 50.00']);
  });

  it('after the first weighing expects the same load', () => {
    const hand = weighed(['50.00']).rest('20.00');
    expect(hand.run.trouble?.text).toContain('the same 50 g was expected');
    expect(() => hand.say('take-all-the-same')).toThrow(/s is measured with one load/);
  });

  it('given another load than was ordered, goes on with that one once it was taken all the same', () => {
    const named = zeroed({ kind: 'repeatability', load: '50', n: 5 }).rest('45.00');
    expect(named.run.trouble).toMatchObject({ kind: 'not-it' });
    named.say('take-all-the-same').rest('0.00').rest('45.01');
    expect(named.labels.at(-1)).toBe('weighing 2 45.01');
  });

  it('takes the last figure again, and keeps the one before with its reason', () => {
    const hand = weighed(['50.00']).rest('50.01').say('again').rest('50.00');
    expect(hand.run.taken.filter((one) => one.void === 'taken again')).toHaveLength(1);
    expect(hand.labels.at(-1)).toBe('weighing 2 50.00');
  });

  it('after a loss goes back to the last zero only', () => {
    const hand = weighed(['50.00', '50.01']).rest('50.00');
    hand.run = hearLost(hand.run, 'unplugged');
    expect(hand.run.stations[hand.run.station]?.label).toBe('zero after 2');
    expect(hand.labels).toHaveLength(4);
  });
});

describe('eccentricity', () => {
  const order: CheckOrder = { kind: 'eccentricity', load: '70' };

  it('asks for the word of the person at each place, and for a move before it', () => {
    const hand = zeroed(order).rest('70.00').say('take');
    expect(() => hand.say('take')).toThrow(/Nothing has moved/);
    for (const g of ['70.01', '70.00', '69.99', '70.00']) hand.read('35.00').rest(g).say('take');
    hand.rest('0.00');
    expect(resultOf(hand.run)).toMatchObject({ verdict: 'pass', main: { g: '0.01', high: '0.02' } });
  });

  it('reads each place anew, however near its figure is to the one before', () => {
    const hand = zeroed(order).rest('70.00').say('take');
    for (const g of ['70.01', '69.99', '70.00', '70.01']) hand.rest('0.00', 0.3).rest(g, 1).say('take');
    expect(hand.labels.slice(2).map((one) => one.slice(-5))).toEqual(['70.01', '69.99', '70.00', '70.01']);
  });

  it('fails a corner beyond the limit, and says when the load is no third of the capacity', () => {
    const light: CheckOrder = { kind: 'eccentricity', load: null };
    const hand = zeroed(light).rest('20.00').say('take');
    for (const g of ['20.02', '20.00', '20.00', '20.00']) hand.read('9.00').rest(g).say('take');
    const found = resultOf(hand.rest('0.00').run);
    expect(found.verdict).toBe('fail');
    expect(found.rules.join()).toContain('A third of the capacity is 66.7 g');
  });
});

describe('linearity', () => {
  it('judges each load by its own limit, and the whole by the worst', () => {
    const weights = (...parts: string[]) => ({ parts, weightClass: 'F2' as const });
    const hand = zeroed({ kind: 'linearity', loads: [weights('20'), weights('100', '50')] });
    hand.rest('20.00').rest('0.00').rest('150.03').rest('0.00');
    const found = resultOf(hand.run);
    expect(found.rows.map((row) => [row.figure, row.ok])).toEqual([
      ['0.00 g', true],
      ['+0.03 g', false],
      ['0.00 g', true],
    ]);
    expect(found.verdict).toBe('fail');
  });
});

describe('drift', () => {
  const order: CheckOrder = { kind: 'drift', load: '100', minutes: 10 };
  const drifting = (minutes: number, perMinute: number): Given => {
    const hand = zeroed(order).rest('100.00');
    for (let n = 0; n < minutes * 600 && hand.run.phase === 'watching'; n += 1)
      hand.read((100 + (perMinute * n) / 600).toFixed(2));
    return hand;
  };

  it('ends by itself after its minutes and tells how far the figure went', () => {
    expect(resultOf(drifting(11, 0.0005).run)).toMatchObject({ verdict: 'pass', main: { high: '0.01' } });
    expect(resultOf(drifting(11, 0.004).run)).toMatchObject({ verdict: 'fail', main: { g: '0.04' } });
  });

  it('ended early says so, and is doubtful', () => {
    const found = resultOf(drifting(3, 0).say('end').run);
    expect(found.verdict).toBe('doubtful');
    expect(found.text).toMatch(/Ended early, after [23]\.\d of 10 minutes/);
  });

  it('begins anew when the balance was beyond its range, however soon the figure is back', () => {
    const hand = drifting(1, 0);
    hand.run = hearNoWeight(hand.run, 'The balance is over its range.', true);
    expect(hand.run.trouble?.text).toBe('The balance is over its range. This part begins anew.');
    expect(hand.run.phase).toBe('stations');
    expect(hand.rest('100.00').run).toMatchObject({ phase: 'watching', trouble: null });
    expect(hand.run.taken.at(-2)?.void).toBe('touched or lifted');
  });

  it('begins anew when the load is lifted', () => {
    const hand = drifting(1, 0).rest('0.00', 1);
    expect(hand.run.phase).toBe('stations');
    expect(hand.run.taken.at(-1)?.void).toBe('touched or lifted');
  });
});

describe('drops', () => {
  const fallen = (drop: number, count: number): Given => {
    const hand = new Given({ kind: 'drops', count }).rest('50.00');
    for (let n = 1; n <= count; n += 1) hand.rest((50 + n * drop).toFixed(2), 3);
    return hand.say('end');
  };

  it('counts drops by their steps where they are large enough', () => {
    const found = resultOf(fallen(0.03, 10).run);
    expect(found.verdict).toBe('pass');
    expect(found.rows[1]).toMatchObject({ figure: '10', limit: '10', ok: true });
    expect(Number(found.main.g)).toBeCloseTo(0.03, 5);
  });

  it('is doubtful where a drop is below two steps, and where nothing was seen', () => {
    expect(resultOf(fallen(0.012, 10).run).verdict).toBe('doubtful');
    expect(resultOf(fallen(0, 10).run).text).toContain('showed no rise');
  });
});

describe('what is ordered', () => {
  const refused = (order: CheckOrder) => () => expectOrder(order, BALANCE);
  it('is refused when it cannot be made', () => {
    expect(refused({ kind: 'daily', weights: { parts: ['3'], weightClass: 'F2' } })).toThrow(
      /3 g is not in the table/,
    );
    expect(refused({ kind: 'daily', weights: { parts: ['0.5'], weightClass: 'M3' } })).toThrow(/not defined/);
    expect(refused({ kind: 'daily', weights: { parts: ['500'], weightClass: 'F2' } })).toThrow(
      /above the capacity/,
    );
    expect(refused({ kind: 'repeatability', load: null, n: 4 })).toThrow(/from 5 to 10/);
    expect(refused({ kind: 'drift', load: '0', minutes: 10 })).toThrow(/above 0 g/);
    expect(refused({ kind: 'linearity', loads: [WEIGHT] })).toThrow(/from 2 to 12/);
    expect(refused({ kind: 'repeatability', load: '0.05', n: 5 })).toThrow(/less than 10 steps/);
  });

  it('is refused where its class has no limit for a load that is not known', () => {
    const fine: CheckedBalance = { d: '0.001', capacity: '200', e: null, balanceClass: 'II' };
    expect(() => expectOrder({ kind: 'eccentricity', load: null }, fine)).toThrow(/outside class II/);
    expect(() => expectOrder({ kind: 'eccentricity', load: '70' }, fine)).not.toThrow();
  });

  it('is told the published rule before anything is weighed', () => {
    const told = (order: CheckOrder) => rulesFor(order, BALANCE).join(' ');
    const coarse = { parts: ['100'], weightClass: 'M2' } as const;
    expect(told(DAILY)).toMatch(/table 6: at 100 g .* ± 0.01 g at verification.*fine enough/);
    expect(told({ kind: 'daily', weights: coarse })).toContain('too coarse to judge this balance');
    expect(told({ kind: 'linearity', loads: [WEIGHT, coarse] })).toContain('too coarse to judge');
    expect(told({ kind: 'repeatability', load: null, n: 5 })).toMatch(/3\.6\.1: .* allowed for it\.$/);
    expect(told({ kind: 'eccentricity', load: '70' })).toMatch(/3\.6\.2: .*at 70 g/);
    expect(told({ kind: 'drift', load: null, minutes: 10 })).toMatch(/from memory\).*: 0\.01 g\.$/);
    expect(told({ kind: 'drops', count: 10 })).toContain('at least two steps, 0.02 g');
  });
});
