import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dropCosts, inPourOrder, type Placed, reorder } from '../../../core/formula/order.ts';
import { plan } from '../../../core/formula/plan.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { ABSOLUTE, dilution, formula, GLYCOL, JEWELLERY, materialsOf, neat } from './workshop.ts';

const placed = (line: string, target: number, more: Partial<Placed> = {}): Placed => ({
  line,
  title: line,
  target: new Decimal(target),
  half: Decimal.max(new Decimal(target).times('0.01'), '0.01'),
  drop: 0.025,
  kind: 'neat',
  solid: false,
  qs: false,
  ...more,
});

const names = (steps: readonly Placed[]) => steps.map((step) => step.line);

describe('the order of a pour', () => {
  it('is solids, then the tightest window against one drop, then solvents, then what fills to the total', () => {
    const steps = [
      placed('fill', 20, { kind: 'solvent', qs: true }),
      placed('glycol', 3, { kind: 'solvent' }),
      placed('wide', 4),
      placed('tight', 1.2),
      placed('small drops', 1.2, { drop: 0.012 }),
      placed('powder', 2, { solid: true }),
    ];
    expect(names(inPourOrder(steps))).toEqual(['powder', 'tight', 'small drops', 'wide', 'glycol', 'fill']);
  });

  it('gives every step its reason', () => {
    const lots = [neat('rose'), dilution('musk', '0.1'), GLYCOL, ABSOLUTE];
    const one = formula('30', [
      'rose 0.05 ROSE',
      'musk 0.02 MUSK-0.1',
      'dipropylene-glycol 0.1 DPG',
      'ethanol qs ETA',
    ]);
    const made = plan(one, materialsOf(lots), lots, JEWELLERY);
    expect(made.steps.map((step) => [step.line, step.reason])).toEqual([
      ['l1', 'Early: its whole window is 1.2 drops wide, and little is in the vessel yet to scale.'],
      ['l2', 'Its window is 7.1 drops wide; tighter ones go before it.'],
      ['l3', 'After the materials: a solvent has the widest window.'],
      ['l4', 'Last: it fills to the total and takes up what the others are short of or over.'],
    ]);
  });

  it('puts a neat solid first, but not its solution', () => {
    const lots = [neat('vanillin'), dilution('coumarin', '0.1'), neat('rose'), ABSOLUTE];
    const materials = materialsOf(lots).map((one) =>
      one.key === 'vanillin' || one.key === 'coumarin' ? { ...one, solid: true } : one,
    );
    const one = formula('30', [
      'rose 0.04 ROSE',
      'coumarin 0.01 COUMARIN-0.1',
      'vanillin 0.05 VANILLIN',
      'ethanol qs ETA',
    ]);
    const made = plan(one, materials, lots, JEWELLERY);
    expect(made.steps.map((step) => [step.line, step.solid])).toEqual([
      ['l3', true],
      ['l1', false],
      ['l2', false],
      ['l4', false],
    ]);
    expect(made.steps[0]?.cautions.join(' ')).toContain('dust');
    expect(made.steps[2]?.cautions.join(' ')).toContain('no flame');
    expect(made.steps[2]?.cautions.join(' ')).not.toContain('gloves');
  });

  it('costs, for one drop too many, what is in the vessel before it in proportion', () => {
    const costs = dropCosts([placed('a', 2), placed('b', 1), placed('c', 10)]);
    expect(costs).toEqual([0, (0.015 / 1.01) * 2, 0].map((cost) => expect.closeTo(cost, 12)));
  });

  it('keeps every step when a person reorders, and says what that costs', () => {
    const lots = [neat('rose'), neat('musk'), ABSOLUTE];
    const one = formula('30', ['rose 0.04 ROSE', 'musk 0.3 MUSK', 'ethanol qs ETA']);
    const made = plan(one, materialsOf(lots), lots, JEWELLERY, { order: ['l3', 'l2', 'l2', 'gone'] });
    expect(made.steps.map((step) => step.line)).toEqual(['l3', 'l2', 'l1']);
    expect(made.steps.map((step) => step.reason).slice(0, 2)).toEqual(['Placed by hand.', 'Placed by hand.']);
    const said = made.warnings.filter((warning) => warning.what === 'order');
    expect(said).toHaveLength(1);
    expect(said[0]).toMatchObject({ line: 'l1' });
    expect(said[0]?.text).toMatch(/costs 0\.31 g of top-ups; in the order proposed, 0\.00 g/);
  });

  it('is a rearrangement, whatever the steps', () => {
    const step = fc.tuple(
      fc.integer({ min: 1, max: 5000 }),
      fc.boolean(),
      fc.constantFrom('neat', 'dilution', 'solvent'),
    );
    fc.assert(
      fc.property(
        fc.array(step, { maxLength: 15 }),
        fc.array(fc.integer({ min: 0, max: 20 })),
        (drawn, order) => {
          const steps = drawn.map(([target, solid, kind], at) =>
            placed(`l${at}`, target / 100, { solid, kind: kind as Placed['kind'] }),
          );
          const proposed = inPourOrder(steps);
          const moved = reorder(
            proposed,
            order.map((at) => `l${at}`),
          ).steps;
          expect(names(proposed).sort()).toEqual(names(steps).sort());
          expect(names(moved).sort()).toEqual(names(steps).sort());
        },
      ),
    );
  });
});
