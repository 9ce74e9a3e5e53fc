import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Decimal } from '../../core/quantity/decimal.ts';
import { combined, rectangular, rootSum, type Term, triangular } from '../../core/record/propagation.ts';

const examples = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../fixtures/references/worked-examples.json'), 'utf8'),
);
const D = (value: number | string): Decimal => new Decimal(value);
const term = (name: string, sensitivity: Decimal, u: Decimal): Term => ({ name, sensitivity, u });

/** EURACHEM/CITAC Guide CG 4 (QUAM), Example A1: preparation of a calibration standard, c = 1000 m P / V. */
describe('QUAM, Example A1', () => {
  const { inputs, exact } = examples.QUAM_A1;
  const m = D(inputs.m_mg.value);
  const P = D(inputs.P.value);
  const V = D(inputs.V_mL.value);
  const c = m.times(P).div(V).times(1000);
  const uP = rectangular(D(inputs.P.half_width));
  const flask = triangular(D(inputs.V_mL.calibration.half_width));
  const repeat = D(inputs.V_mL.repeatability_sd);
  const warmth = rectangular(D(inputs.V_mL.temperature.half_width));

  it('gives c and, unrounded, its standard uncertainty 0.8352 mg/L', () => {
    const u = combined([
      term('P', c.div(P), uP),
      term('m', c.div(m), D(inputs.m_mg.u)),
      term('V', c.div(V).neg(), rootSum([flask, repeat, warmth])),
    ]);
    expect(c.toFixed(5)).toBe(D(exact.c).toFixed(5));
    expect(u.toFixed(4)).toBe('0.8352');
    expect(u.toFixed(7)).toBe(D(exact.u).toFixed(7));
  });

  it('gives each contribution', () => {
    const part = (sensitivity: Decimal, u: Decimal): number => sensitivity.times(u).toNumber();
    expect(part(c.div(m), D(inputs.m_mg.u))).toBeCloseTo(exact.contributions.m, 5);
    expect(part(c.div(V), warmth)).toBeCloseTo(exact.contributions.V_T, 5);
    expect(part(c.div(V), flask)).toBeCloseTo(exact.contributions.V_flask, 5);
    expect(part(c.div(V), repeat)).toBeCloseTo(exact.contributions.V_rep, 5);
    expect(part(c.div(P), uP)).toBeCloseTo(exact.contributions.P, 5);
  });
});

/** JCGM 100:2008, equation 10, with the uncertainty budget of its Annex H.1, end-gauge calibration (figures from memory). */
describe('JCGM 100, H.1', () => {
  it('combines 25, 9.7, 2.9 and 16.6 nm to 32 nm', () => {
    const budget = ['25', '9.7', '2.9', '16.6'].map((u, i) => term(`${i}`, D(1), D(u)));
    expect(combined(budget).toFixed(0)).toBe('32');
  });
});

/** JCGM 100:2008, 5.2.2, note 1, example: ten resistors calibrated against one standard, u = 100 mohm (from memory). */
describe('JCGM 100, 5.2.2', () => {
  const resistors = Array.from({ length: 10 }, (_, i) => term(`R${i}`, D(1), D('0.1')));
  it('is 1 ohm with the shared standard, where equation 10 alone would say 0.32', () => {
    const covariances = resistors.flatMap((a, i) =>
      resistors.slice(i + 1).map((b) => ({ a: a.name, b: b.name, covariance: D('0.01') })),
    );
    expect(combined(resistors, covariances).toFixed(2)).toBe('1.00');
    expect(combined(resistors).toFixed(2)).toBe('0.32');
  });
});

/**
 * JCGM 100:2008, Annex H.2: resistance, reactance and impedance from voltage, current and phase measured together;
 * equation 13 with correlation coefficients (Tables H.2 and H.3, figures from memory).
 */
describe('JCGM 100, H.2', () => {
  const V = D('4.9990');
  const I = D('0.0196610');
  const phi = D('1.04446');
  const u = { V: D('0.0032'), I: D('0.0000095'), phi: D('0.00075') };
  const covariances = [
    { a: 'V', b: 'I', covariance: u.V.times(u.I).times('-0.36') },
    { a: 'V', b: 'phi', covariance: u.V.times(u.phi).times('0.86') },
    { a: 'I', b: 'phi', covariance: u.I.times(u.phi).times('-0.65') },
  ];
  const Z = V.div(I);
  const R = Z.times(phi.cos());
  const X = Z.times(phi.sin());
  const of = (dV: Decimal, dI: Decimal, dPhi: Decimal): Decimal =>
    combined([term('V', dV, u.V), term('I', dI, u.I), term('phi', dPhi, u.phi)], covariances);

  it.each([
    ['R', R, of(R.div(V), R.div(I).neg(), X.neg()), '127.732', 0.071],
    ['X', X, of(X.div(V), X.div(I).neg(), R), '219.847', 0.295],
    ['Z', Z, of(Z.div(V), Z.div(I).neg(), D(0)), '254.260', 0.236],
  ])('%s and its uncertainty, within what rounded inputs allow', (_, value, uc, published, uPublished) => {
    expect(value.minus(published).abs().lt('0.002')).toBe(true);
    expect(Math.abs(uc.toNumber() / uPublished - 1)).toBeLessThan(0.02);
  });
});
