import { describe, expect, it } from 'vitest';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { type AsMadeInput, asMade } from '../../../core/record/as-made.ts';
import { type Covariance, combined, type Term } from '../../../core/record/propagation.ts';
import { readingVariance, uncertaintyOf } from '../../../core/record/uncertainty.ts';
import { input, limits, lots, materials, pours } from './made.ts';

const made = asMade(input);
const found = uncertaintyOf(input, limits, made);

/**
 * The law of propagation written out over the nets, every pair with its covariance: neighbours that share a reading
 * -u(G)^2, and the calibration m_i m_j c^2 for every pair. Lots add their fractions' errors.
 */
function writtenOut(keys: readonly string[], given: AsMadeInput = input): Decimal {
  const inside = (composition: Readonly<Record<string, string>>): Decimal =>
    keys.reduce((sum, key) => sum.plus(composition[key] ?? '0'), new Decimal(0));
  const of = (code: string): Decimal => inside(lots.find((lot) => lot.code === code)?.composition ?? {});
  const total = given.pours.reduce((sum, pour) => sum.plus(pour.net), new Decimal(0));
  const x = given.pours
    .reduce((sum, pour) => sum.plus(pour.net.times(of(pour.lot))), new Decimal(0))
    .div(total);
  const c = decimal(limits.c);
  const ug2 = new Decimal(readingVariance(limits));
  const terms: Term[] = given.pours.map((pour, i) => ({
    name: `net ${i}`,
    sensitivity: of(pour.lot).minus(x).div(total),
    u: ug2.times(2).plus(pour.net.times(c).pow(2)).sqrt(),
  }));
  const covariances: Covariance[] = [];
  for (const [i, a] of given.pours.entries())
    for (const [j, b] of given.pours.entries()) {
      if (j <= i) continue;
      const shared = j === i + 1 && b.before.eq(a.after) ? ug2.neg() : new Decimal(0);
      const covariance = a.net.times(b.net).times(c.pow(2)).plus(shared);
      covariances.push({ a: `net ${i}`, b: `net ${j}`, covariance });
    }
  for (const lot of lots)
    for (const [key, u] of Object.entries(lot.uncertainty ?? {})) {
      if (!keys.includes(key)) continue;
      const taken = given.pours
        .filter((pour) => pour.lot === lot.code)
        .reduce((sum, pour) => sum.plus(pour.net), new Decimal(0));
      terms.push({ name: `${lot.code} ${key}`, sensitivity: taken.div(total), u: decimal(u) });
    }
  return combined(terms, covariances);
}

/** Equal as far as floating point tells. */
const close = (a: number | undefined, b: Decimal | number) =>
  expect(Math.abs((a ?? Number.NaN) / new Decimal(b).toNumber() - 1)).toBeLessThan(1e-10);

describe('the uncertainty of what was made', () => {
  it('is that of the law written out over all pairs of nets', () => {
    close(found.strength.u, writtenOut(['rose', 'cedar', 'musk']));
    for (const key of ['rose', 'cedar', 'musk']) close(found.materials.get(key)?.u, writtenOut([key]));
  });

  it('is so too where every display was re-tared, and where none was', () => {
    const shifted = (tare: boolean): AsMadeInput => {
      let gross = new Decimal(50);
      return {
        ...input,
        pours: pours.map((pour, i) => {
          const before = tare ? new Decimal(i).div(1000) : gross;
          gross = before.plus(pour.net);
          return { ...pour, before, after: gross };
        }),
      };
    };
    for (const given of [shifted(true), shifted(false)]) {
      const { strength, materials: each } = uncertaintyOf(given, limits, asMade(given));
      close(strength.u, writtenOut(['rose', 'cedar', 'musk'], given));
      close(each.get('musk')?.u, writtenOut(['musk'], given));
    }
  });

  it('takes the net of a line from d and s: max(s, d / sqrt 6) and the calibration share', () => {
    const net = decimal('0.12').times(limits.c);
    close(found.lines.get('musk')?.u, decimal(limits.s).pow(2).plus(net.pow(2)).sqrt());
    const rounding = uncertaintyOf(input, { ...limits, s: '0', c: '0' }, made).lines.get('musk');
    expect(rounding?.u.toFixed(6)).toBe('0.004082');
  });

  it('does not see the calibration in a fraction, and sees it in a mass', () => {
    const coarse = uncertaintyOf(input, { ...limits, c: '0.01' }, made);
    close(coarse.strength.u, found.strength.u);
    expect(coarse.total.sources.map((source) => source.kind)).toEqual(['calibration', 'readings']);
    expect(coarse.total.u > made.total.toNumber() * 0.0099).toBe(true);
  });

  it('names its sources, whose shares sum to one', () => {
    for (const one of [found.strength, found.total, ...found.materials.values()]) {
      const shares = one.sources.reduce((sum, source) => sum + source.share, 0);
      expect(Math.abs(shares - 1) < 1e-12).toBe(true);
    }
    expect(found.strength.sources.map((source) => source.lot).sort()).toEqual(['B1', 'R10', null].sort());
    expect(found.strength.expanded === found.strength.u * 2).toBe(true);
  });

  it('gives what a neat fraction has too much to the solvents of its lot', () => {
    const exact = { ...limits, s: '0', d: '0.000001', c: '0' };
    const dilution = lots.filter((lot) => lot.code === 'R10');
    const only = {
      ...input,
      lots: dilution,
      materials,
      pours: pours.filter((pour) => pour.lot === 'R10'),
      lines: input.lines.slice(0, 1),
    };
    const { materials: each } = uncertaintyOf(only, exact, asMade(only));
    expect(each.get('ethanol')?.u.toFixed(7)).toBe('0.0006000');
    expect(each.get('rose')?.u.toFixed(7)).toBe('0.0006000');
  });

  it('of nothing poured is nothing', () => {
    const none = { ...input, pours: [] };
    const { strength, total } = uncertaintyOf(none, limits, asMade(none));
    expect([strength.u, total.u, strength.sources]).toEqual([0, 0, []]);
  });
});

describe('the law of propagation', () => {
  it('refuses a covariance of what is no input, and covariances that cannot be', () => {
    const term = (name: string): Term => ({ name, sensitivity: new Decimal(1), u: new Decimal(1) });
    expect(() => combined([term('a')], [{ a: 'a', b: 'z', covariance: new Decimal(1) }])).toThrow('"z"');
    const impossible = [{ a: 'a', b: 'b', covariance: new Decimal(-2) }];
    expect(() => combined([term('a'), term('b')], impossible)).toThrow('do not belong together');
  });
});
