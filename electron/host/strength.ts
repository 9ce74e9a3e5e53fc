import { lotsKnown } from '../../core/pour/frame.ts';
import type { PourState } from '../../core/pour/state.ts';
import { type Decimal, decimal } from '../../core/quantity/decimal.ts';
import { asMade } from '../../core/record/as-made.ts';

/** Strength of what is in the vessel so far, and of the formula: mass fractions of neat material. */
export function strengthOf(state: PourState): { asMade: Decimal; target: Decimal } {
  const { facts } = state;
  const made = asMade({
    formula: facts.formula,
    materials: facts.materials,
    // Also what was added on the way, and another bottle taken from beside: those stand on the shelf of the batch.
    lots: lotsKnown(facts),
    pours: state.pours.filter((pour) => !pour.voided),
    lines: state.lines.map((line) => ({
      line: line.step.line,
      title: line.step.title,
      lot: line.step.lot,
      target: line.target,
      half: line.half,
      drop: decimal(line.step.drop),
      mark: 'none',
    })),
  });
  return { asMade: made.strength, target: made.targetStrength };
}
