import { describe, expect, it } from 'vitest';
import { type MadeOf, resolveComposition } from '../../core/formula/composition.ts';
import { plan } from '../../core/formula/plan.ts';
import type { Formula, Lot, Material } from '../../core/formula/types.ts';
import { Decimal, plain } from '../../core/quantity/decimal.ts';
import examples from '../../fixtures/references/worked-examples.json' with { type: 'json' };

const { alligation } = examples;
const FINE = { d: '0.0001', s: '0', c: '0', capacity: '10000' };

const material = (key: string, kind: Material['kind']): Material => ({
  key,
  name: key,
  note: null,
  family: 'test',
  kind,
});
const MATERIALS = [material('active', 'neat'), material('base', 'solvent')];

const strength = (percent: number): Lot => ({
  code: `${percent}%`,
  name: `${percent} per cent`,
  composition: {
    ...(percent > 0 ? { active: plain(new Decimal(percent).div(100)) } : {}),
    ...(percent < 100 ? { base: plain(new Decimal(100 - percent).div(100)) } : {}),
  },
});

/** Masses of a strong and a weak bottle that make `batch` g at `wanted` per cent. */
function mixed(strong: number, weak: number, wanted: number, batch: string): [string, string] {
  const formula: Formula = {
    id: 'problem',
    name: 'Problem',
    batch,
    tolerance: '0.01',
    lines: [
      { id: 'strong', material: 'active', fraction: plain(new Decimal(wanted).div(100)), lot: `${strong}%` },
      { id: 'weak', material: 'base', qs: true, lot: `${weak}%` },
    ],
  };
  const made = plan(formula, MATERIALS, [strength(strong), strength(weak)], FINE);
  const of = (line: string) => made.steps.find((step) => step.line === line)?.target ?? '0';
  return [of('strong'), of('weak')];
}

/** Strength in per cent of amounts mixed together. */
function together(parts: readonly [amount: number, percent: number][]): string {
  const total = parts.reduce((sum, [amount]) => sum + amount, 0);
  const lots = new Map<string, MadeOf>([
    [
      'mix',
      {
        code: 'mix',
        parts: parts.map(([amount, percent]) => ({
          of: { lot: `${percent}%` },
          fraction: plain(new Decimal(amount).div(total).toDecimalPlaces(20)),
        })),
      },
    ],
    ...parts.map(
      ([, percent]) =>
        [
          `${percent}%`,
          {
            code: `${percent}%`,
            parts: Object.entries(strength(percent).composition).map(([key, fraction]) => ({
              of: { material: key },
              fraction,
            })),
          },
        ] as const,
    ),
  ]);
  return plain(
    new Decimal(resolveComposition('mix', lots).composition.active ?? '0').times(100).toDecimalPlaces(9),
  );
}

/** The question with this beginning: the test fails where the published list has another. */
const asked = (beginning: string) => {
  const item = alligation.items.find(({ question }) => question.startsWith(beginning));
  if (item === undefined) throw new RangeError(`no published problem begins with "${beginning}"`);
  return item;
};

describe(`alligation problems: ${alligation.source}`, () => {
  it(asked('95 % and 50 %').question, () => {
    expect(asked('95 % and 50 %').answer).toBe('4:5');
    expect(mixed(95, 50, 70, '9')).toEqual(['4', '5']);
  });

  it(asked('20 % benzocaine').question, () => {
    expect(asked('20 % benzocaine').answer).toMatch(/^1:7/);
    expect(mixed(20, 0, 2.5, '8')).toEqual(['1', '7']);
  });

  it(asked('50 %, 20 %, 5 %').question, () => {
    expect(asked('50 %, 20 %, 5 %').answer).toBe('5:5:50 = 1:1:10');
    expect(
      together([
        [1, 50],
        [1, 20],
        [10, 5],
      ]),
    ).toBe('10');
    const [strong, weak] = mixed(35, 5, 10, '12');
    expect([strong, weak]).toEqual(['2', '10']);
  });

  it(asked('200 g of 10 %').question, () => {
    expect(
      together([
        [200, 10],
        [50, 20],
        [100, 5],
      ]),
    ).toBe(asked('200 g of 10 %').answer.replace(' %', ''));
  });

  it(asked('3000 mL').question, () => {
    expect(
      together([
        [3000, 40],
        [1000, 60],
        [1000, 70],
      ]),
    ).toBe(asked('3000 mL').answer.replace(' %', ''));
  });
});
