import { describe, expect, it } from 'vitest';
import { corrections } from '../../../core/pour/correction.ts';
import { type OtherBottle, otherBottles } from '../../../core/pour/correction-bottle.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { line, rules } from './lines.ts';

const D = (text: string): Decimal => new Decimal(text);
const bottle = (id: string, ratio: string, more: Partial<OtherBottle> = {}): OtherBottle => ({
  line: id,
  lot: `${id}-${ratio}`,
  title: `${id} other`,
  ratio: D(ratio),
  drop: D('0.02'),
  stock: D('50'),
  price: D('1'),
  sameSolvent: true,
  ...more,
});

describe('a weaker bottle', () => {
  /* Rose is in at 0.99 of 1.00 with a drop of 0.50 g; cedar is over. A drop of rose at a tenth counts 0.05 g. */
  const lines = [
    line('rose', '1.00', '0.99', { drop: D('0.5'), price: D('4') }),
    line('cedar', '1.00', '1.20', { price: D('1') }),
    line('ethanol', '28.00', '0', { qs: true, solvent: true, price: D('0.1') }),
  ];
  const [offer] = otherBottles(lines, rules(), [bottle('rose', '0.1', { drop: D('0.5') })], 'least');

  it('makes the top-up small enough, and the batch grows less', () => {
    const planned = corrections(lines, rules()).least;
    expect(planned.scale.toFixed(6)).toBe(D('1.5').div('1.01').toFixed(6));
    expect(offer?.correction.scale.toFixed(6)).toBe(D('1.20').div('1.01').toFixed(6));
    expect(offer?.saves.toFixed(12)).toBe(planned.total.minus(offer?.correction.total ?? 0).toFixed(12));
    expect(offer?.saves.gt(8)).toBe(true);
  });

  it('gives the top-up in grams of that bottle, holding as much of the material', () => {
    const rose = offer?.correction.lines.find((one) => one.id === 'rose');
    const k = D('1.20').div('1.01');
    const middle = k.minus('0.99');
    expect(rose?.topUp?.aim.toFixed(9)).toBe(middle.times(10).toFixed(9));
    expect(rose?.target.minus('0.99').times('0.1').toFixed(9)).toBe(k.minus('0.99').toFixed(9));
    expect(rose?.topUp?.high.toFixed(9)).toBe(rose?.target.plus(rose.half).minus('0.99').toFixed(9));
  });

  it('takes the solvent it brings off the q.s. line, so that the total stays', () => {
    const qs = offer?.correction.lines.find((one) => one.id === 'ethanol');
    const rose = offer?.correction.lines.find((one) => one.id === 'rose');
    const k = offer?.correction.scale ?? D('0');
    const brought = rose?.topUp?.aim.times('0.9') ?? D('0');
    expect(qs?.target.toFixed(9)).toBe(k.times(28).minus(brought).toFixed(9));
    const masses = offer?.correction.lines.map((one) =>
      one.topUp === null ? one.poured : one.poured.plus(one.topUp.aim),
    );
    const sum = (masses ?? []).reduce((total, mass) => total.plus(mass), qs?.target ?? D('0'));
    expect(sum.toFixed(9)).toBe(offer?.correction.total.toFixed(9));
  });

  it('costs its own price and saves the solvent', () => {
    const k = offer?.correction.scale ?? D('0');
    const aim = offer?.correction.lines[0]?.topUp?.aim ?? D('0');
    const solvent = k.minus(1).times(28).minus(aim.times('0.9'));
    expect(offer?.correction.cost?.toFixed(9)).toBe(aim.plus(solvent.times('0.1')).toFixed(9));
  });

  it('is limited by what is in it', () => {
    const [small] = otherBottles(
      lines,
      rules(),
      [bottle('rose', '0.1', { drop: D('0.5'), stock: D('1') })],
      'least',
    );
    expect(small?.correction.limits.map((one) => one.text)).toEqual([
      'The bottle of rose other held 1.00 g; this needs 1.98 g in all.',
    ]);
  });

  it('is not offered where the solvent has no room, is another, or is in already', () => {
    const offers = (changed: typeof lines, other: OtherBottle) =>
      otherBottles(changed, rules(), [other], 'least').length;
    const weak = bottle('rose', '0.1', { drop: D('0.5') });
    const [rose, cedar, ethanol] = lines;
    if (rose === undefined || cedar === undefined || ethanol === undefined) throw new Error('three lines');
    expect(offers(lines, weak)).toBe(1);
    expect(offers(lines, { ...weak, sameSolvent: false })).toBe(0);
    expect(offers([rose, cedar, { ...ethanol, target: D('1') }], weak)).toBe(0);
    expect(offers([rose, cedar, { ...ethanol, poured: D('28') }], weak)).toBe(0);
    expect(offers([rose, cedar, { ...ethanol, qs: false }], weak)).toBe(0);
  });
});

describe('a stronger bottle', () => {
  it('brings less solvent where too much of it is in', () => {
    /* Ethanol is 1.00 over 20.00. Rose from a bottle twice as strong leaves 2.50 more of the total to the solvent. */
    const lines = [line('ethanol', '20.00', '21.00', { qs: true, solvent: true }), line('rose', '5.00', '0')];
    const [offer] = otherBottles(lines, rules(), [bottle('rose', '2')], 'exact');
    expect(corrections(lines, rules()).exact.scale.toFixed()).toBe('1.05');
    expect(offer?.correction.scale.toFixed()).toBe('1');
    expect(offer?.saves.toFixed()).toBe('1.25');
    expect(offer?.correction.lines.map((one) => one.target.toFixed())).toEqual(['22.5', '2.5']);
  });

  it('lifts the limit of a bottle that does not hold enough', () => {
    const lines = [
      line('cedar', '2.00', '2.40', { stock: D('20') }),
      line('rose', '5.00', '0', { stock: D('5.5') }),
      line('ethanol', '20.00', '0', { qs: true, solvent: true }),
    ];
    expect(corrections(lines, rules()).exact.limits.map((one) => one.line)).toEqual(['rose']);
    const offers = otherBottles(
      lines,
      rules(),
      [bottle('rose', '2'), bottle('rose', '0.5', { stock: D('3') })],
      'exact',
    );
    expect(offers.map((one) => one.bottle.lot)).toEqual(['rose-2']);
    expect(offers[0]?.correction.limits).toEqual([]);
    expect(offers[0]?.correction.total.toFixed()).toBe('32.4');
  });

  it('is not offered where it changes nothing', () => {
    const lines = [
      line('cedar', '2.00', '2.40'),
      line('rose', '5.00', '0'),
      line('ethanol', '20.00', '0', { qs: true }),
    ];
    expect(otherBottles(lines, rules(), [bottle('rose', '2'), bottle('none', '2')], 'exact')).toEqual([]);
  });
});
