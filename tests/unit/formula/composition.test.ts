import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MadeOf, type Part, resolveComposition } from '../../../core/formula/composition.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';

const material = (key: string, fraction: string, u?: string): Part => ({
  of: { material: key },
  fraction,
  ...(u === undefined ? {} : { u }),
});
const lot = (code: string, fraction: string, u?: string): Part => ({
  of: { lot: code },
  fraction,
  ...(u === undefined ? {} : { u }),
});
const shelf = (lots: Record<string, Part[]>): Map<string, MadeOf> =>
  new Map(Object.entries(lots).map(([code, parts]) => [code, { code, parts }]));

describe('a lot made of lots', () => {
  it('has the composition of what it was made of', () => {
    const lots = shelf({
      ten: [material('rose', '0.1'), material('ethanol', '0.9')],
      one: [lot('ten', '0.1'), material('ethanol', '0.9')],
      mix: [lot('one', '0.5'), lot('ten', '0.25'), material('water', '0.25')],
    });
    expect(resolveComposition('one', lots).composition).toEqual({ rose: '0.01', ethanol: '0.99' });
    expect(resolveComposition('mix', lots).composition).toEqual({
      rose: '0.03',
      ethanol: '0.72',
      water: '0.25',
    });
  });

  it('propagates uncertainty: of the share and of what is shared out', () => {
    const lots = shelf({
      ten: [material('rose', '0.1', '0.001'), material('ethanol', '0.9')],
      one: [lot('ten', '0.1', '0.002'), material('ethanol', '0.9')],
    });
    const expected = Math.hypot(0.1 * 0.001, 0.1 * 0.002);
    expect(Number(resolveComposition('one', lots).uncertainty.rose)).toBeCloseTo(expected, 11);
  });

  it('adds up, not averages out, the error of a lot that is met on two ways', () => {
    const lots = shelf({
      ten: [material('rose', '0.1', '0.001'), material('ethanol', '0.9')],
      left: [lot('ten', '0.5'), material('ethanol', '0.5')],
      right: [lot('ten', '0.5'), material('ethanol', '0.5')],
      both: [lot('left', '0.5'), lot('right', '0.5')],
    });
    expect(resolveComposition('both', lots).uncertainty.rose).toBe('0.0005');
  });

  it('refuses a lot made of itself, and shows the circle', () => {
    const lots = shelf({ a: [lot('b', '1')], b: [lot('c', '1')], c: [lot('b', '1')] });
    expect(() => resolveComposition('a', lots)).toThrow(/lot b: it would be made of itself: b from c from b/);
    expect(() => resolveComposition('x', shelf({ x: [lot('x', '1')] }))).toThrow(/x from x/);
  });

  it('refuses a lot that is not there, and parts that do not add up', () => {
    expect(() => resolveComposition('a', shelf({ a: [lot('gone', '1')] }))).toThrow(
      /lot a: there is no lot "gone"/,
    );
    expect(() => resolveComposition('a', shelf({ a: [material('rose', '0.5')] }))).toThrow(
      /lot a: its parts add up to 0\.5, not to 1/,
    );
    expect(() =>
      resolveComposition('a', shelf({ a: [material('rose', '1.5'), material('musk', '-0.5')] })),
    ).toThrow(/lot a: the part 1\.5 is not between 0 and 1/);
  });

  it('goes as deep as it is made', () => {
    const lots = new Map<string, MadeOf>([['0', { code: '0', parts: [material('rose', '1')] }]]);
    for (let depth = 1; depth <= 500; depth++)
      lots.set(String(depth), { code: String(depth), parts: [lot(String(depth - 1), '1')] });
    expect(resolveComposition('500', lots).composition).toEqual({ rose: '1' });
  });

  it('always adds up to one', () => {
    const share = fc.integer({ min: 1, max: 999 }).map((parts) => new Decimal(parts).div(1000));
    fc.assert(
      fc.property(fc.array(share, { minLength: 1, maxLength: 12 }), (shares) => {
        const lots = new Map<string, MadeOf>([['0', { code: '0', parts: [material('m0', '1')] }]]);
        for (const [at, one] of shares.entries())
          lots.set(String(at + 1), {
            code: String(at + 1),
            parts: [
              lot(String(at), one.toString()),
              material(`m${at % 4}`, new Decimal(1).minus(one).toString()),
            ],
          });
        const { composition } = resolveComposition(String(shares.length), lots);
        const sum = Object.values(composition).reduce((all, one) => all.plus(one), new Decimal(0));
        expect(sum.minus(1).abs().lt('1e-10')).toBe(true);
      }),
    );
  });
});
