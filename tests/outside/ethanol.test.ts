import { describe, expect, it } from 'vitest';
import { massFraction, mixtureDensity, volumeFraction } from '../../core/quantity/ethanol.ts';
import reference from '../../fixtures/references/ethanol-density.json' with { type: 'json' };

const { A, B, C, check_values: checks } = reference;

/** The general formula written out term by term from the published coefficients, apart from the code under test. */
function writtenOut(p: number, t: number): number {
  let rho = A[0] ?? Number.NaN;
  for (let k = 2; k <= 12; k++) rho += (A[k - 1] ?? Number.NaN) * p ** (k - 1);
  for (let k = 1; k <= 6; k++) rho += (B[k - 1] ?? Number.NaN) * (t - 20) ** k;
  for (const [i, row] of C.entries())
    for (const [k, coefficient] of row.entries()) rho += coefficient * p ** (k + 1) * (t - 20) ** (i + 1);
  return rho;
}

describe(`ethanol and water: ${reference.document}`, () => {
  it('holds all 54 published coefficients', () => {
    expect(A.length + B.length + C.flat().length).toBe(reference.n_coefficients);
    for (let p = 0; p <= 1; p += 0.05)
      for (let t = 0; t <= 40; t += 2.5) expect(mixtureDensity(p, t)).toBeCloseTo(writtenOut(p, t), 8);
    for (let p = 0.35; p <= 1; p += 0.05)
      for (let t = -20; t < 0; t += 2.5) expect(mixtureDensity(p, t)).toBeCloseTo(writtenOut(p, t), 8);
  });

  it.each(checks.oiml_table_IVa_extract.rows as [number, number][])(
    `%d %% vol has %d kg/m³ at 20 °C (${checks.oiml_table_IVa_extract.source})`,
    (percent, rho) => {
      expect(Math.abs(mixtureDensity(massFraction(percent / 100), 20) - rho)).toBeLessThanOrEqual(0.005);
    },
  );

  it.each(checks.oiml_table_I_and_Va.rows)(
    `p = $p at $t °C has $rho kg/m³ (${checks.oiml_table_I_and_Va.source})`,
    ({ p, t, rho }) => {
      expect(Math.abs(mixtureDensity(p, t) - rho)).toBeLessThanOrEqual(0.05);
    },
  );

  it('96 % vol is 0.938384 by mass', () => {
    expect(massFraction(0.96)).toBeCloseTo(0.938384, 6);
  });

  it('goes to mass and back within 1e-6, everywhere', () => {
    for (let at = 0; at <= 1000; at++) {
      expect(Math.abs(volumeFraction(massFraction(at / 1000)) - at / 1000)).toBeLessThan(1e-9);
      expect(Math.abs(massFraction(volumeFraction(at / 1000)) - at / 1000)).toBeLessThan(1e-9);
    }
  });
});
