import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bottleOf } from '../../../core/formula/bottle.ts';
import { composed } from '../../../core/formula/contents.ts';
import { defaultMaterial, UNDECLARED } from '../../../core/formula/defaults.ts';
import { daysBetween, isDay, monthsOf, plusMonths } from '../../../core/formula/shelf-life.ts';
import { expiryOf, lowOf, wantsOf } from '../../../core/formula/supply.ts';
import type { Lot } from '../../../core/formula/types.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { ETHANOL_96, formula, neat } from './workshop.ts';

const share = (text: string): Decimal => new Decimal(text);
const sum = (parts: Lot['composition']): string =>
  Object.values(parts)
    .reduce((total, fraction) => total.plus(decimal(fraction)), new Decimal(0))
    .toString();

describe('what a person tells of a lot', () => {
  it('is a dilution in a solvent that is a mixture itself, with the uncertainty on every part', () => {
    const made = composed({
      kind: 'dilution',
      material: 'rose',
      fraction: share('0.1'),
      u: share('0.002'),
      solvent: ETHANOL_96.composition,
    });
    expect(made.composition).toEqual({ ethanol: '0.8445456', rose: '0.1', water: '0.0554544' });
    expect(made.uncertainty).toEqual({ rose: '0.002', ethanol: '0.001876768', water: '0.000123232' });
  });

  it('is of a purity, the rest undeclared: it counts as neat and keeps the cautions of the neat material', () => {
    const made = composed({ kind: 'purity', material: 'rose', fraction: share('0.95'), u: null });
    expect(made).toEqual({ composition: { rose: '0.95', [UNDECLARED]: '0.05' } });
    const materials = new Map(['rose', UNDECLARED].map((key) => [key, defaultMaterial(key)]));
    const bottle = bottleOf({ code: 'R', name: 'R', ...made }, materials);
    expect(bottle.kind).toBe('neat');
    expect(bottle.strength.toString()).toBe('0.95');
  });

  it('is refused where its parts do not make a whole, or one stands there twice', () => {
    const part = (material: string, fraction: string) => ({ material, fraction: share(fraction), u: null });
    const of =
      (...parts: ReturnType<typeof part>[]) =>
      () =>
        composed({ kind: 'composition', parts });
    expect(of(part('a', '0.5'), part('b', '0.4'))).toThrow('add up to 90 %');
    expect(of(part('a', '0.5'), part('a', '0.5'))).toThrow('twice');
  });

  it('adds up to exactly one, however it is written', () => {
    const fraction = fc.integer({ min: 1, max: 999_999 }).map((ppm) => new Decimal(ppm).div(1e6));
    fc.assert(
      fc.property(fraction, fraction, (strength, water) => {
        const solvent = { ethanol: new Decimal(1).minus(water).toFixed(), water: water.toFixed() };
        const made = composed({ kind: 'dilution', material: 'x', fraction: strength, u: null, solvent });
        expect(sum(made.composition)).toBe('1');
        expect(made.composition.x).toBe(strength.toFixed());
      }),
    );
  });
});

describe('dates', () => {
  it('go by whole months, to the last day where the month is shorter', () => {
    expect(plusMonths('2026-01-31', 1)).toBe('2026-02-28');
    expect(plusMonths('2027-08-31', 6)).toBe('2028-02-29');
    expect(plusMonths('2026-11-25', 24)).toBe('2028-11-25');
  });

  it('are days that exist, and durations of months and years', () => {
    expect(['2026-02-29', '2026-13-01', '26-1-1', ''].map(isDay)).toEqual([false, false, false, false]);
    expect(isDay('2028-02-29')).toBe(true);
    expect(['P24M', 'P2Y', 'P1Y6M', 'P', 'P10D'].map(monthsOf)).toEqual([24, 24, 18, null, null]);
    expect(daysBetween('2026-02-28', '2026-03-01')).toBe(1);
  });
});

describe('a bottle that runs out or expires', () => {
  it('is told from sixty days before its date on', () => {
    const told = (bestBefore: string) => expiryOf({ bestBefore }, '2026-11-25')?.text ?? null;
    expect(told('2027-01-25')).toBeNull();
    expect(told('2027-01-24')).toBe('best before 2027-01-24, in 60 days');
    expect(told('2026-11-25')).toBe('best before 2026-11-25, today');
    expect(told('2026-11-24')).toBe('was best before 2026-11-24');
    expect(expiryOf({}, '2026-11-25')).toBeNull();
  });

  it('is told when empty, when a formula that names it wants more, and below a fifth of what it held', () => {
    const lot = (stock: string): Lot => neat('rose', { stock });
    const want = { name: 'Trial', g: 3 };
    expect(lowOf(lot('0'), 30, undefined)).toBe('empty by what was poured');
    expect(lowOf(lot('2.99'), 30, want)).toBe('2.99 g left, and Trial takes 3.00 g');
    expect(lowOf(lot('5.99'), 30, want)).toBe('5.99 g left, less than a fifth of 30 g');
    expect(lowOf(lot('6'), 30, want)).toBeNull();
    expect(lowOf(neat('rose'), 30, want)).toBeNull();
  });

  it('is wanted by formulas that name it, not by dilutions that are made when wanted', () => {
    const lots = new Map([['ROSE', neat('rose')]]);
    const two = formula('30', ['rose 0.1 ROSE', 'cedar 0.2', 'ethanol qs']);
    const dilution = formula('500', ['rose 0.1 ROSE', 'ethanol qs']);
    expect([...wantsOf([dilution, two], lots)]).toEqual([['ROSE', { name: 'Trial', g: 3 }]]);
  });
});
