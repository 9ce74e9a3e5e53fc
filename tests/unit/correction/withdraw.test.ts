import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { startAgain } from '../../../core/pour/correction-again.ts';
import { afterWithdrawal, withdrawStirred, withdrawUnmixed } from '../../../core/pour/correction-withdraw.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { anyLines, anyRules, line, rules } from './lines.ts';

const TINY = new Decimal('1e-14');
const D = (text: string): Decimal => new Decimal(text);

describe('withdrawing from a first line that nothing is mixed into', () => {
  const lines = [line('rose', '2.00', '2.30', { price: D('3') }), line('cedar', '4.00', '0')];

  it('aims at the target, anywhere inside the window, and leaves the batch as planned', () => {
    const found = withdrawUnmixed(lines, rules());
    expect([found?.low, found?.aim, found?.high].map((mass) => mass?.toFixed())).toEqual([
      '0.28',
      '0.3',
      '0.32',
    ]);
    expect(found?.rest.scale.toFixed()).toBe('1');
    expect(found?.rest.total.toFixed()).toBe('6');
    expect(found?.lost?.toFixed()).toBe('0.9');
  });

  it('is not offered for a mixture, a line inside, or a line kept', () => {
    expect(withdrawUnmixed([line('a', '2.00', '2.30'), line('b', '1.00', '0.10')], rules())).toBeNull();
    expect(withdrawUnmixed([line('a', '2.00', '2.02')], rules())).toBeNull();
    expect(withdrawUnmixed([line('a', '2.00', '2.30', { accepted: true })], rules())).toBeNull();
  });

  it('takes a whole drop where the excess is less, and is not offered where a drop is too much', () => {
    const withDrop = (drop: string) =>
      withdrawUnmixed([line('a', '1.00', '1.02', { drop: D(drop) })], rules());
    expect(withDrop('0.025')?.aim.toFixed()).toBe('0.025');
    expect(withDrop('0.031')).toBeNull();
  });
});

describe('withdrawing from a stirred vessel', () => {
  it('takes every line down in proportion, then tops up what came along', () => {
    const lines = [
      line('rose', '2.00', '2.50', { price: D('1') }),
      line('cedar', '4.00', '4.00', { price: D('2') }),
      line('q', '14.00', '0'),
    ];
    const found = withdrawStirred(lines, rules(), 'exact');
    /* A fifth of 6.50 g: rose is at 2.00, cedar at 3.20 and due 0.80. */
    expect(found?.aim.toFixed()).toBe('1.3');
    expect(found?.after.map((one) => one.poured.toFixed())).toEqual(['2', '3.2', '0']);
    expect(found?.rest.lines.map((one) => one.topUp?.aim.toFixed() ?? null)).toEqual([null, '0.8', null]);
    expect(found?.rest.total.toFixed()).toBe('20');
    expect(found?.lost?.toFixed()).toBe('2.1');
  });

  it('is not offered where nothing is over', () => {
    expect(withdrawStirred([line('a', '2.00', '2.00')], rules(), 'least')).toBeNull();
  });

  it('is not offered where a line could never take a drop again', () => {
    const dropping = line('a', '0.02', '0.02', { drop: D('0.5') });
    expect(withdrawStirred([dropping, line('b', '1.00', '2.50')], rules(), 'exact')).toBeNull();
  });

  it.each(['exact', 'least'] as const)(
    '%s: afterwards the batch needs no scaling, and less would not do',
    (kind) => {
      fc.assert(
        fc.property(anyLines, anyRules, (lines, given) => {
          const found = withdrawStirred(lines, given, kind);
          if (found === null) return;
          expect(found.rest.scale.toFixed()).toBe('1');
          expect(found.rest.allInside).toBe(true);
          if (kind === 'exact') expect(found.rest.worstAfter.lte(TINY)).toBe(true);
          const less = afterWithdrawal(lines, found.aim.times('0.999999'), 'stirred');
          const limits = less.map(({ target }) => Decimal.max(target.times(given.tolerance), given.d));
          const forbidden = less.some((one, i) => {
            if (!one.poured.gt(0)) return false;
            const half = kind === 'exact' ? new Decimal(0) : (limits[i] ?? one.half);
            const off = one.poured.minus(one.target);
            const drop = Decimal.max(one.drop, given.d);
            const margin = Decimal.min(Decimal.max(drop.div(2), given.d), limits[i] ?? one.half);
            const least = kind === 'exact' ? drop : drop.plus(margin);
            return (
              off.gt(half.plus(TINY)) ||
              (off.lt(half.neg().minus(TINY)) && off.plus(least).gt(half.plus(TINY)))
            );
          });
          expect(forbidden).toBe(true);
        }),
        { numRuns: 300 },
      );
    },
  );
});

describe('the vessel after a withdrawal', () => {
  it('keeps its composition', () => {
    fc.assert(
      fc.property(anyLines, fc.integer({ min: 0, max: 99 }), (lines, percent) => {
        const total = lines.reduce((sum, one) => sum.plus(one.poured), new Decimal(0));
        if (total.isZero()) return;
        const mass = total.times(percent).div(100);
        const after = afterWithdrawal(lines, mass, 'stirred');
        const left = after.reduce((sum, one) => sum.plus(one.poured), new Decimal(0));
        for (const [i, one] of after.entries())
          expect(
            one.poured
              .div(left)
              .minus((lines[i]?.poured ?? left).div(total))
              .abs()
              .lt('1e-20'),
          ).toBe(true);
        expect(left.plus(mass).minus(total).abs().lt('1e-20')).toBe(true);
      }),
    );
  });

  it('cannot give more than it holds, nor one line of a mixture', () => {
    const lines = [line('a', '2.00', '2.30'), line('b', '1.00', '1.00')];
    expect(() => afterWithdrawal(lines, D('3.31'), 'stirred')).toThrow('3.31 g cannot be taken');
    expect(() => afterWithdrawal(lines, D('-1'), 'stirred')).toThrow('-1 g');
    expect(() => afterWithdrawal(lines, D('0.3'), 'unmixed')).toThrow('mixture');
  });
});

describe('starting again', () => {
  const lines = [
    line('a', '2.20', '2.50', { lot: 'X', stock: D('7'), price: D('1') }),
    line('b', '3.30', '0', { lot: 'X', stock: D('7'), price: D('1') }),
    line('c', '5.50', '1.00', { price: D('2') }),
  ];
  const planned = [D('2'), D('3'), D('5')];

  it('throws away what is in, and pours the batch as first planned', () => {
    const found = startAgain(lines, planned, rules());
    expect([found.discarded.toFixed(), found.lost?.toFixed(), found.total.toFixed()]).toEqual([
      '3.5',
      '4.5',
      '10',
    ]);
  });

  it('needs bottles that still hold it: 7.00 less 2.50 is not 5.00', () => {
    expect(startAgain(lines, planned, rules()).limits.map((one) => one.text)).toEqual([
      'The bottle of b oil has 4.50 g left; this needs 5.00 g.',
    ]);
    const enough = lines.map((one) => ({ ...one, stock: D('7.50') }));
    expect(startAgain(enough, planned, rules()).limits).toEqual([]);
  });

  it('has no price where one is not known', () => {
    expect(startAgain([line('a', '1', '2')], [D('1')], rules()).lost).toBeNull();
  });
});
