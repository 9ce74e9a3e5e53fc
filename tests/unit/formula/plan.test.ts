import { describe, expect, it } from 'vitest';
import { plan } from '../../../core/formula/plan.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import type { Formula, Lot } from '../../../core/formula/types.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import {
  ABSOLUTE,
  composition,
  dilution,
  ETHANOL_96,
  formula,
  GLYCOL,
  JEWELLERY,
  materialsOf,
  neat,
  target,
  WATER,
} from './workshop.ts';

const make = (one: Formula, lots: readonly Lot[]) => plan(one, materialsOf(lots), lots, JEWELLERY);

function refusal(one: Formula, lots: readonly Lot[]): string {
  try {
    make(one, lots);
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return cause.message;
    throw cause;
  }
  return 'not refused';
}

describe('targets from the bottles at hand', () => {
  it('pours the batch times the fraction over the strength, and the q.s. line makes the total', () => {
    const lots = [neat('rose'), dilution('musk', '0.1'), ABSOLUTE];
    const made = make(formula('30', ['rose 0.05 ROSE', 'musk 0.02 MUSK-0.1', 'ethanol qs ETA']), lots);
    expect([target(made, 'l1'), target(made, 'l2'), target(made, 'l3')]).toEqual(['1.5', '6', '22.5']);
    expect(made.total).toBe('30');
  });

  it('subtracts from a solvent line what dilutions carry in of it', () => {
    const lots = [dilution('vanillin', '0.1', 'dipropylene-glycol'), GLYCOL, ABSOLUTE];
    const made = make(
      formula('100', ['vanillin 0.01 VANILLIN-0.1', 'dipropylene-glycol 0.2 DPG', 'ethanol qs ETA']),
      lots,
    );
    expect(target(made, 'l1')).toBe('10');
    expect(target(made, 'l2')).toBe('11');
    expect(target(made, 'l3')).toBe('79');
  });

  it('counts the water in ethanol 96 % vol towards a water line', () => {
    const lots = [ETHANOL_96, WATER];
    const made = make(formula('100', ['water 0.1 WA', 'ethanol qs ET96']), lots);
    expect(composition(made, lots).get('water')?.minus('0.1').abs().lt('1e-12')).toBe(true);
    expect(
      new Decimal(target(made, 'l1')).minus(new Decimal('3.8384').div('0.938384')).abs().lt('1e-11'),
    ).toBe(true);
  });

  it('solves a base that holds several wanted materials together with the neat bottles', () => {
    const base: Lot = {
      code: 'BASE',
      name: 'Rose base',
      composition: { rose: '0.4', geranium: '0.2', ethanol: '0.4' },
    };
    const lots = [base, neat('geranium'), ABSOLUTE];
    const made = make(formula('50', ['rose 0.04 BASE', 'geranium 0.03 GERANIUM', 'ethanol qs ETA']), lots);
    expect([target(made, 'l1'), target(made, 'l2'), target(made, 'l3')]).toEqual(['5', '0.5', '44.5']);
  });

  it('leaves out a line that other bottles bring in whole, and says so', () => {
    const base: Lot = { code: 'BASE', name: 'Base', composition: { rose: '0.5', geranium: '0.5' } };
    const lots = [base, neat('geranium'), ABSOLUTE];
    const made = make(formula('50', ['rose 0.1 BASE', 'geranium 0.1 GERANIUM', 'ethanol qs ETA']), lots);
    expect(made.steps.map((step) => step.line)).toEqual(['l1', 'l3']);
    expect(made.warnings.map((one) => [one.line, one.what])).toContainEqual(['l2', 'nothing-to-pour']);
  });

  it('pours one bottle once for two lines that ask for it in its own proportion', () => {
    const base: Lot = { code: 'BASE', name: 'Base', composition: { rose: '0.5', geranium: '0.5' } };
    const lots = [base, ABSOLUTE];
    const made = make(formula('50', ['rose 0.1 BASE', 'geranium 0.1 BASE', 'ethanol qs ETA']), lots);
    expect([target(made, 'l1'), target(made, 'l3')]).toEqual(['10', '40']);
    expect(refusal(formula('50', ['rose 0.1 BASE', 'geranium 0.05 BASE', 'ethanol qs ETA']), lots)).toMatch(
      /line l2: "Base" is poured for rose and brings in 5\.0000 g of geranium, where 2\.5000 g are asked.*own/,
    );
  });

  it('gives each line its own share where two bottles of one material are named', () => {
    const lots = [neat('rose'), dilution('rose', '0.5'), ABSOLUTE];
    const made = make(formula('10', ['rose 0.1 ROSE', 'rose 0.1 ROSE-0.5', 'ethanol qs ETA']), lots);
    expect([target(made, 'l1'), target(made, 'l2'), target(made, 'l3')]).toEqual(['1', '2', '7']);
  });

  it('makes the total exactly even where the targets do not end', () => {
    const lots = [dilution('a', '0.3'), dilution('b', '0.7'), dilution('c', '0.9'), ABSOLUTE];
    const made = make(formula('10', ['a 0.01 A-0.3', 'b 0.1 B-0.7', 'c 0.1 C-0.9', 'ethanol qs ETA']), lots);
    const sum = made.steps.reduce((total, step) => total.plus(step.target), new Decimal(0));
    expect(sum.toString()).toBe('10');
  });

  it('does without a q.s. line where the fractions add up through the lots', () => {
    const lots = [neat('rose'), neat('musk')];
    const made = make(formula('20', ['rose 0.25 ROSE', 'musk 0.75 MUSK']), lots);
    expect([target(made, 'l1'), target(made, 'l2')]).toEqual(['5', '15']);
    expect(refusal(formula('20', ['rose 0.25 ROSE', 'musk 0.7 MUSK']), lots)).toMatch(
      /lines: the fractions add up to 0\.95 and no line fills to the total/,
    );
    const weak = [neat('rose'), dilution('musk', '0.8')];
    expect(refusal(formula('20', ['rose 0.25 ROSE', 'musk 0.75 MUSK-0.8']), weak)).toMatch(
      /bring in 3\.7500 g of ethanol, which no line asks for.*23\.7500 g instead of 20 g/,
    );
  });
});

describe('what cannot be planned', () => {
  it('names the bottle that is too weak and the least strength that would do', () => {
    const lots = [dilution('rose', '0.1'), dilution('musk', '0.5'), ABSOLUTE];
    const one = formula('30', ['rose 0.2 ROSE-0.1', 'musk 0.1 MUSK-0.5', 'ethanol qs ETA']);
    const text = refusal(one, lots);
    expect(text).toMatch(/line l1: "rose at 0\.1 in ethanol" \(ROSE-0\.1\) is too weak: at 10 %/);
    expect(text).toMatch(/at least 25 %/);
    const enough = [dilution('rose', '0.25'), dilution('musk', '0.5'), ABSOLUTE];
    expect(
      refusal(formula('30', ['rose 0.2 ROSE-0.25', 'musk 0.1 MUSK-0.5', 'ethanol qs ETA']), enough),
    ).toBe('not refused');
    const under = [dilution('rose', '0.2499'), dilution('musk', '0.5'), ABSOLUTE];
    expect(
      refusal(formula('30', ['rose 0.2 ROSE-0.2499', 'musk 0.1 MUSK-0.5', 'ethanol qs ETA']), under),
    ).toMatch(/too weak/);
  });

  it('names every bottle where no single one is to blame', () => {
    const lots = [dilution('rose', '0.2'), dilution('musk', '0.2'), ABSOLUTE];
    const text = refusal(formula('30', ['rose 0.3 ROSE-0.2', 'musk 0.3 MUSK-0.2', 'ethanol qs ETA']), lots);
    expect(text.match(/at least 60 %/g)).toHaveLength(2);
  });

  it('names the bottle that brings in more than is asked', () => {
    const base: Lot = { code: 'BASE', name: 'Base', composition: { rose: '0.2', geranium: '0.8' } };
    const lots = [base, neat('geranium'), ABSOLUTE];
    expect(
      refusal(formula('50', ['rose 0.1 BASE', 'geranium 0.1 GERANIUM', 'ethanol qs ETA']), lots),
    ).toMatch(
      /line l2: "Base" \(BASE\) alone brings in 20\.0000 g of geranium, where 5\.0000 g are asked in all.*at least 40 %/,
    );
  });

  it.each([
    ['0', ['rose 0.1 ROSE', 'ethanol qs ETA'], /batch: 0 g is not above 0/],
    ['10', ['rose 1.1 ROSE', 'ethanol qs ETA'], /line l1: the fraction 1\.1 is not above 0 and at most 1/],
    ['10', ['rose -0.1 ROSE', 'ethanol qs ETA'], /line l1: the fraction -0\.1/],
    ['10', ['rose 0.6 ROSE', 'musk 0.5 MUSK', 'ethanol qs ETA'], /add up to 1\.1: a formula over 100 %/],
    ['10', ['rose qs ROSE', 'ethanol qs ETA'], /two lines fill to the total/],
    ['10', ['rose 0.1 NONE', 'ethanol qs ETA'], /line l1: there is no lot "NONE"/],
    ['10', ['rose 0.1 MUSK', 'ethanol qs ETA'], /line l1: "MUSK" does not contain "rose"; it holds musk/],
    ['10', ['iris 0.1', 'ethanol qs ETA'], /line l1: there is no material "iris"/],
    ['10', ['ethanol 0.1 ETA', 'ethanol qs ETA'], /fills to the total and serves another line too/],
    ['10', [], /the formula holds no line/],
  ])('batch %s of %j is refused', (batch, lines, why) => {
    expect(refusal(formula(batch, lines), [neat('rose'), neat('musk'), ABSOLUTE])).toMatch(why);
  });
});

describe('what a plan warns of', () => {
  it('says what comes along unasked', () => {
    const impure: Lot = { code: 'R', name: 'Rose', composition: { rose: '0.9', cedar: '0.1' } };
    const lots = [impure, dilution('musk', '0.5', 'dipropylene-glycol'), ABSOLUTE];
    const made = make(formula('10', ['rose 0.09 R', 'musk 0.1 MUSK-0.5', 'ethanol qs ETA']), lots);
    const texts = made.warnings.map((one) => `${one.line} ${one.what} ${one.text}`);
    expect(texts.some((text) => /^l1 material-along 0\.1 g of Cedar come along with Rose/.test(text))).toBe(
      true,
    );
    expect(texts.some((text) => /^l2 solvent-along 1 g of Dipropylene glycol/.test(text))).toBe(true);
  });

  it('says when a bottle does not hold enough, has expired, or the batch is more than balance and vessel carry', () => {
    const lots = [neat('rose', { stock: '5', bestBefore: '2026-01-31' }), ABSOLUTE];
    const made = plan(
      formula('250', ['rose 0.1 ROSE', 'ethanol qs ETA']),
      materialsOf(lots),
      lots,
      JEWELLERY,
      { today: '2026-02-01', vesselCapacity: '100' },
    );
    expect(made.warnings.map((one) => one.what)).toEqual(
      ['balance-capacity', 'vessel-capacity', 'drop', 'stock', 'expired'].filter((what) => what !== 'drop'),
    );
  });
});
