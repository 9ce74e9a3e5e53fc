import { describe, expect, it } from 'vitest';
import { massFraction, mixtureDensity, volumeFraction } from '../../../core/quantity/ethanol.ts';

describe('ethanol and water', () => {
  it.each([
    [-0.01, 20, /mass fraction of -0\.01 is not between 0 and 1/],
    [1.01, 20, /mass fraction of 1\.01/],
    [Number.NaN, 20, /mass fraction of NaN/],
    [0.5, 40.1, /40\.1 °C is outside -20 to 40 °C/],
    [0.5, -20.1, /-20\.1 °C is outside/],
    [0, -1, /at -1 °C a mixture with 0 ethanol holds ice/],
    [0.2, -15, /holds ice/],
  ])('a density at p = %d and %d °C is refused', (p, t, why) => {
    expect(() => mixtureDensity(p, t)).toThrow(why);
  });

  it('gives densities at the ends of its range', () => {
    expect(mixtureDensity(0.5, -20)).toBeGreaterThan(mixtureDensity(0.5, 40));
    expect(mixtureDensity(0, 0)).toBeGreaterThan(999);
  });

  it('refuses 101 % vol and less than none', () => {
    expect(() => massFraction(1.01)).toThrow(/volume fraction of 1\.01 is not between 0 and 1/);
    expect(() => massFraction(-0.1)).toThrow(RangeError);
    expect(() => volumeFraction(1.01)).toThrow(RangeError);
  });

  it('takes pure water and pure ethanol as what they are', () => {
    expect([massFraction(0), massFraction(1), volumeFraction(0), volumeFraction(1)]).toEqual([0, 1, 0, 1]);
  });
});
