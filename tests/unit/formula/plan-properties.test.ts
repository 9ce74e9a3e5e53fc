import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plan } from '../../../core/formula/plan.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import type { Formula, Lot, Plan } from '../../../core/formula/types.ts';
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
  WATER,
} from './workshop.ts';

interface Bench {
  readonly formula: Formula;
  readonly lots: Lot[];
}

const thousandths = (min: number, max: number) =>
  fc.integer({ min, max }).map((parts) => new Decimal(parts).div(1000).toString());

/** A line from a bottle of its own: neat or diluted in one of three solvents. */
const ownBottle = (key: string) =>
  fc.record({
    key: fc.constant(key),
    share: thousandths(1, 60),
    lot: fc.oneof(
      fc.constant(neat(key)),
      fc
        .tuple(thousandths(10, 950), fc.constantFrom('ethanol', 'dipropylene-glycol', 'water'))
        .map(([strength, solvent]) => dilution(key, strength, solvent)),
    ),
  });

/** Up to nine lines, some of them also carried by a base, a glycol line sometimes, ethanol to the total. */
const benches: fc.Arbitrary<Bench> = fc
  .tuple(
    fc
      .integer({ min: 1, max: 9 })
      .chain((count) => fc.tuple(...Array.from({ length: count }, (_, at) => ownBottle(`m${at}`)))),
    fc.option(fc.array(thousandths(1, 300), { minLength: 2, maxLength: 3 }), { nil: null }),
    fc.option(thousandths(50, 300), { nil: null }),
    fc.constantFrom('10', '30.00', '100', '0.5', '137.3'),
    fc.constantFrom(ABSOLUTE, ETHANOL_96),
  )
  .map(([own, base, glycol, batch, fill]) => {
    const baseLot: Lot | null =
      base === null
        ? null
        : {
            code: 'BASE',
            name: 'Base',
            composition: {
              base: '0.05',
              ...Object.fromEntries(base.slice(0, own.length).map((part, at) => [`m${at}`, part])),
              ethanol: new Decimal(0.95)
                .minus(base.slice(0, own.length).reduce((sum, part) => sum.plus(part), new Decimal(0)))
                .toString(),
            },
          };
    const lines = own.map(({ key, share, lot }) => `${key} ${share} ${lot.code}`);
    if (baseLot !== null) lines.push('base 0.002 BASE');
    if (glycol !== null) lines.push(`dipropylene-glycol ${glycol} DPG`);
    lines.push(`ethanol qs ${fill.code}`);
    const lots = [...own.map(({ lot }) => lot), ...(baseLot === null ? [] : [baseLot]), GLYCOL, WATER, fill];
    return { formula: formula(batch, lines), lots };
  });

/** The plan, or null where it is refused for good reason. */
function tried({ formula, lots }: Bench): Plan | null {
  try {
    return plan(formula, materialsOf(lots), lots, JEWELLERY);
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return null;
    throw cause;
  }
}

const sumOf = (made: Plan): Decimal =>
  made.steps.reduce((sum, step) => sum.plus(step.target), new Decimal(0));

describe('whatever is asked, a plan', () => {
  let planned = 0;
  let refused = 0;

  it('pours exactly the formula: composition within 1e-9, masses above zero, sum the total', () => {
    fc.assert(
      fc.property(benches, (bench) => {
        const made = tried(bench);
        if (made === null) {
          refused += 1;
          return;
        }
        planned += 1;
        expect(sumOf(made).eq(bench.formula.batch)).toBe(true);
        const got = composition(made, bench.lots);
        for (const step of made.steps) expect(new Decimal(step.target).gt(0)).toBe(true);
        for (const line of bench.formula.lines)
          if (line.fraction !== undefined)
            expect(
              (got.get(line.material) ?? new Decimal(0)).minus(line.fraction).abs().lt('1e-9'),
              line.id,
            ).toBe(true);
      }),
      { numRuns: 400 },
    );
    expect(planned).toBeGreaterThan(100);
    expect(refused).toBeGreaterThan(10);
  });

  it('that is refused as too weak is possible at the least strength named, and not below it', () => {
    let checked = 0;
    fc.assert(
      fc.property(
        thousandths(100, 400),
        thousandths(10, 400),
        thousandths(1, 300),
        thousandths(10, 900),
        fc.constantFrom('ethanol', 'dipropylene-glycol'),
        (share, strength, other, otherStrength, solvent) => {
          const at = (first: string) => {
            const lots = [
              dilution('rose', first, solvent),
              dilution('musk', otherStrength),
              GLYCOL,
              ETHANOL_96,
            ];
            const lines = [
              `rose ${share} ROSE-${first}`,
              `musk ${other} MUSK-${otherStrength}`,
              'dipropylene-glycol 0.2 DPG',
              'ethanol qs ET96',
            ];
            return { formula: formula('50', lines), lots };
          };
          const first = at(strength);
          try {
            plan(first.formula, materialsOf(first.lots), first.lots, JEWELLERY);
          } catch (cause) {
            if (!(cause instanceof FormulaTrouble)) throw cause;
            const least = /line l1: .*at least ([\d.]+) %/.exec(cause.message)?.[1];
            if (least === undefined || cause.problems.length > 1) return;
            checked += 1;
            const enough = new Decimal(least).div(100);
            expect(tried(at(enough.toString())), `at ${enough}`).not.toBeNull();
            expect(tried(at(enough.times('0.998').toString())), `below ${enough}`).toBeNull();
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(checked).toBeGreaterThan(30);
  });

  it('does not depend on the order of the lines', () => {
    fc.assert(
      fc.property(benches, (bench) => {
        const made = tried(bench);
        const turned = tried({
          ...bench,
          formula: { ...bench.formula, lines: [...bench.formula.lines].reverse() },
        });
        if (made === null || turned === null) {
          expect(turned).toBe(made);
          return;
        }
        const masses = (one: Plan) => new Map(one.steps.map((step) => [step.lot, step.target]));
        const other = masses(turned);
        for (const [lot, mass] of masses(made))
          expect(
            new Decimal(mass)
              .minus(other.get(lot) ?? Number.NaN)
              .abs()
              .lt('1e-10'),
            lot,
          ).toBe(true);
      }),
      { numRuns: 150 },
    );
  });
});
