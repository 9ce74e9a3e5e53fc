import { describe, expect, it } from 'vitest';
import { corrections, newTargets } from '../../../core/pour/correction.ts';
import { Decimal, decimal, isDecimalText } from '../../../core/quantity/decimal.ts';
import { line, rules } from './lines.ts';

describe('corrections of one overpoured line', () => {
  const lines = [
    line('rose', '2.00', '2.30', { price: new Decimal(4), stock: new Decimal(20) }),
    line('cedar', '4.00', '0', { price: new Decimal(1), stock: new Decimal(20) }),
    line('ethanol', '24.00', '0', {
      qs: true,
      solvent: true,
      price: new Decimal('0.05'),
      stock: new Decimal(500),
    }),
  ];
  const { least, exact, keep } = corrections(lines, rules());

  it('exact: every target times what was poured over its target', () => {
    expect(exact.scale.toFixed()).toBe('1.15');
    expect(exact.lines.map((one) => one.target.toFixed())).toEqual(['2.3', '4.6', '27.6']);
    expect(exact.lines.map((one) => one.topUp)).toEqual([null, null, null]);
    expect(exact.total.toFixed()).toBe('34.5');
    expect(exact.extra.toFixed()).toBe('4.5');
    expect(exact.worstAfter.toFixed()).toBe('0');
  });

  it('least: only as far as the upper edge of its window', () => {
    /* 2.30 / (2.00 x 1.01); a window of one per cent is wider than 0.01 g there. */
    expect(least.scale.toFixed(12)).toBe('1.138613861386');
    expect(least.allInside).toBe(true);
    expect(least.worstAfter.toFixed(6)).toBe('0.010000');
  });

  it('keep: nothing changes, and the batch is not inside', () => {
    expect(keep.scale.toFixed()).toBe('1');
    expect(keep.lines.map((one) => one.target.toFixed())).toEqual(['2', '4', '24']);
    expect(keep.total.toFixed()).toBe('30.3');
    expect(keep.allInside).toBe(false);
    expect(keep.worstAfter.toFixed()).toBe('0.15');
    expect(keep.cost?.toFixed()).toBe('0');
  });

  it('costs what is poured beyond the plan: 0.6 g of cedar and 3.6 g of ethanol', () => {
    expect(exact.cost?.toFixed()).toBe('0.78');
  });

  it('has no cost where a price is not known, and none is needed where nothing is added', () => {
    const [rose, cedar, ethanol] = lines;
    if (rose === undefined || cedar === undefined || ethanol === undefined) throw new Error('three lines');
    expect(corrections([rose, { ...cedar, price: null }, ethanol], rules()).exact.cost).toBeNull();
    expect(corrections([{ ...rose, price: null }, cedar, ethanol], rules()).exact.cost?.toFixed()).toBe(
      '0.78',
    );
  });
});

describe('top-ups', () => {
  it('exact: a line within a drop of its new target pushes the scale on', () => {
    /* At 1.01 rose is due 0.01 g, less than a drop of 0.02; at 1.02 cedar is due 0.01 g; at 1.03 both can be poured. */
    const { exact } = corrections([line('rose', '1.00', '1.00'), line('cedar', '1.00', '1.01')], rules());
    expect(exact.scale.toFixed()).toBe('1.03');
    expect(exact.lines.map((one) => one.topUp?.aim.toFixed())).toEqual(['0.03', '0.02']);
  });

  it('least: leaves alone a line that is inside at the new scale', () => {
    const { least } = corrections([line('rose', '4.00', '4.00'), line('cedar', '1.00', '1.02')], rules());
    expect(least.scale.toFixed(4)).toBe('1.0099');
    expect(least.lines[0]?.topUp).toBeNull();
  });

  it('least: aims at the middle of the interval', () => {
    const { least } = corrections([line('rose', '4.00', '4.00'), line('cedar', '1.00', '1.50')], rules());
    const topUp = least.lines[0]?.topUp;
    const k = new Decimal('1.5').div('1.01');
    expect(topUp?.aim.toFixed(12)).toBe(k.times(4).minus(4).toFixed(12));
    expect(topUp?.high.minus(topUp.low).toFixed(12)).toBe(k.times('0.08').toFixed(12));
  });

  it('least: a drop larger than the window pushes the scale to where one drop is inside', () => {
    const dropping = line('rose', '1.00', '0.99', { drop: new Decimal('0.5') });
    const { least } = corrections([dropping, line('cedar', '1.00', '1.20')], rules());
    /* 1.20 / 1.01 = 1.188 leaves rose due 0.18..0.21, less than a drop: on to (0.99 + 0.5 + 0.01) / 1.01, where one drop is the middle. */
    expect(least.scale.toFixed(9)).toBe(new Decimal('1.5').div('1.01').toFixed(9));
    expect(least.lines[0]?.topUp?.low.toFixed(6)).toBe('0.500000');
    expect(least.lines[0]?.topUp?.high.toFixed(6)).toBe('0.510000');
  });

  it('leaves accepted lines out: no top-up, no pull on the scale, the target scaled for the record', () => {
    const kept = line('rose', '1.00', '3.00', { accepted: true });
    const skipped = line('musk', '1.00', '0', { accepted: true });
    const { exact } = corrections([kept, skipped, line('cedar', '1.00', '1.10')], rules());
    expect(exact.scale.toFixed()).toBe('1.1');
    expect(exact.lines.map((one) => [one.target.toFixed(), one.topUp])).toEqual([
      ['1.1', null],
      ['1.1', null],
      ['1.1', null],
    ]);
    expect(exact.total.toFixed()).toBe('4.1');
    expect(exact.allInside).toBe(false);
  });
});

describe('limits', () => {
  const over = [line('rose', '2.00', '2.30'), line('ethanol', '28.00', '0')];
  it('names the vessel and the balance with what is left and what is needed', () => {
    const { exact, keep } = corrections(
      over,
      rules({ vesselRoom: new Decimal(30), balanceRoom: new Decimal('32.19') }),
    );
    expect(exact.limits.map((one) => [one.what, one.text])).toEqual([
      ['vessel', 'The vessel has room for 30.00 g more; this needs 32.20 g.'],
      ['balance', 'The balance takes 32.19 g more; this needs 32.20 g.'],
    ]);
    expect(keep.limits).toEqual([]);
    expect(corrections(over, rules({ balanceRoom: new Decimal('32.2') })).exact.limits).toEqual([]);
  });

  it('adds up the lines of one lot against its bottle', () => {
    const stock = new Decimal(10);
    const shared = [
      line('a', '4.00', '4.40', { lot: 'E1', stock }),
      line('b', '5.00', '0', { lot: 'E1', stock }),
      line('c', '5.00', '0', { lot: 'E2', stock }),
    ];
    expect(corrections(shared, rules()).exact.limits.map((one) => [one.what, one.line])).toEqual([]);
    const tight = shared.map((one) => ({ ...one, stock: new Decimal('9.89') }));
    expect(corrections(tight, rules()).exact.limits.map((one) => [one.what, one.line])).toEqual([
      ['lot', 'b'],
    ]);
  });

  it('a line without a target cannot be made up for, and takes no part in the scale', () => {
    const { exact } = corrections([line('x', '0', '0.50'), line('y', '1.00', '1.10')], rules());
    expect(exact.scale.toFixed()).toBe('1.1');
    expect(exact.limits.map((one) => one.what)).toEqual(['target']);
  });

  it('refuses rules and masses that make no sense', () => {
    expect(() => corrections(over, rules({ tolerance: new Decimal(1) }))).toThrow(/tolerance of 1/);
    expect(() => corrections(over, rules({ d: new Decimal(0) }))).toThrow(/readability of 0/);
    expect(() => corrections([line('x', '1', '-0.5')], rules())).toThrow(/line "x"/);
  });
});

describe('new targets', () => {
  it('are plain decimal text that holds exactness to 1e-12', () => {
    const lines = [line('a', '3.33', '3.47'), line('b', '0.07', '0.07'), line('c', '11.11', '0')];
    const { exact } = corrections(lines, rules());
    const texts = newTargets(exact);
    for (const { target, half, topUp } of texts)
      for (const text of [target, half, ...(topUp === null ? [] : Object.values(topUp))])
        expect(isDecimalText(text)).toBe(true);
    expect(isDecimalText(exact.scale.toFixed())).toBe(true);
    const ratio = decimal(texts[2]?.target ?? '').div(decimal(texts[0]?.target ?? ''));
    expect(ratio.minus(new Decimal('11.11').div('3.33')).abs().lt('1e-20')).toBe(true);
  });
});
