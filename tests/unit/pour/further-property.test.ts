import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { StartFacts } from '../../../core/pour/events.ts';
import { nextLine } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { Decimal, plain } from '../../../core/quantity/decimal.ts';
import { facts, Led, rest, step } from './given.ts';

/** Masses in hundredths of a gram. */
interface Batch {
  readonly targets: readonly number[];
  /** The line that is overpoured, and by how many windows. */
  readonly over: number;
  readonly windows: number;
}

const anyBatch: fc.Arbitrary<Batch> = fc
  .array(fc.integer({ min: 100, max: 2000 }), { minLength: 2, maxLength: 6 })
  .chain((targets) =>
    fc.record({
      targets: fc.constant(targets),
      over: fc.integer({ min: 1, max: targets.length - 1 }),
      windows: fc.integer({ min: 2, max: 30 }),
    }),
  );

function factsOf({ targets }: Batch): StartFacts {
  const text = (counts: number): string => (counts / 100).toFixed(2);
  const steps = targets.map((target, i) => step(`l${i}`, text(target)));
  const total = text(targets.reduce((sum, target) => sum + target, 0));
  return { ...facts, plan: { ...facts.plan, total, steps } };
}

/** A hand without error: every pour is its aim, to the last decimal. Opens with an overpour, then withdraws. */
function led(batch: Batch, kind: 'exact' | 'least', more: Decimal): Led {
  const hand = new Led(factsOf(batch)).vessel('50.00');
  const pourAim = (add = new Decimal(0)): void => {
    const line = nextLine(hand.state);
    const gross = hand.state.gross;
    if (line === null || gross === null) throw new Error('no line is left');
    hand.pour(plain(gross.plus(pourWindow(hand.state, line).aim).plus(add)));
  };
  for (let i = 0; i < batch.over; i += 1) pourAim();
  const line = nextLine(hand.state);
  pourAim(line?.half.times(batch.windows));
  hand.do({ type: 'choose', choice: kind === 'exact' ? 'withdraw-exact' : 'withdraw-least' });
  const { withdrawing } = hand.state;
  if (withdrawing === null) throw new Error('nothing is being taken out');
  hand.do({
    type: 'settled',
    settled: rest(plain(withdrawing.before.minus(withdrawing.aim.times(more)).toDecimalPlaces(24))),
  });
  for (let n = 0; hand.state.phase === 'bottle' && n < 20; n += 1) pourAim();
  return hand;
}

describe('a withdrawal from a stirred vessel, poured on without error', () => {
  it('exact: the composition is that of the formula to 1e-12', () => {
    fc.assert(
      fc.property(anyBatch, (batch) => {
        const { state } = led(batch, 'exact', new Decimal(1));
        expect(state.phase).toBe('closing');
        const total = state.lines.reduce((sum, line) => sum.plus(line.poured), new Decimal(0));
        for (const line of state.lines) {
          const wanted = new Decimal(line.step.target).div(state.facts.plan.total);
          expect(line.poured.div(total).minus(wanted).abs().toNumber()).toBeLessThan(1e-12);
        }
      }),
      { numRuns: 100 },
    );
  });

  it('least: every line ends inside its window', () => {
    fc.assert(
      fc.property(anyBatch, fc.integer({ min: 100, max: 130 }), (batch, percent) => {
        const { state } = led(batch, 'least', new Decimal(percent).div(100));
        expect(state.phase).toBe('closing');
        for (const line of state.lines) {
          expect(line.end).toBe('inside');
          expect(line.poured.minus(line.target).abs().lte(line.half.plus('1e-12'))).toBe(true);
        }
      }),
      {
        numRuns: 100,
        /* A top-up of one drop whose aim is the upper edge, but for the last digits of a ratio. */
        examples: [[{ targets: [1600, 629, 103, 219, 660], over: 3, windows: 2 }, 103]],
      },
    );
  });
});
