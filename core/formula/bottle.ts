import { Decimal, decimal } from '../quantity/decimal.ts';
import { UNDECLARED } from './defaults.ts';
import type { Lot, Material } from './types.ts';

/** A lot as the plan reckons with it: its parts as decimals, and what kind of bottle it is. */
export interface Bottle {
  readonly lot: Lot;
  /** Mass fractions by material key. */
  readonly parts: ReadonlyMap<string, Decimal>;
  /** Mass fraction of all that is neither solvent nor undeclared. */
  readonly strength: Decimal;
  readonly kind: 'neat' | 'dilution' | 'solvent';
}

/** More solvent than this makes a bottle a dilution; less is the purity of a neat material (common practice, no source). */
const TRACE_OF_SOLVENT = new Decimal('0.02');

/**
 * Reads a lot. Materials that are not in `materials` count as neat: nothing is taken for a solvent unless it is called one.
 * @throws RangeError when a fraction is not plain decimal text
 */
export function bottleOf(lot: Lot, materials: ReadonlyMap<string, Material>): Bottle {
  const parts = new Map<string, Decimal>();
  let strength = new Decimal(0);
  let solvent = new Decimal(0);
  for (const [key, text] of Object.entries(lot.composition)) {
    const fraction = decimal(text);
    if (fraction.isZero()) continue;
    parts.set(key, fraction);
    if (key === UNDECLARED) continue;
    if (materials.get(key)?.kind === 'solvent') solvent = solvent.plus(fraction);
    else strength = strength.plus(fraction);
  }
  const kind = strength.isZero() ? 'solvent' : solvent.gt(TRACE_OF_SOLVENT) ? 'dilution' : 'neat';
  return { lot, parts, strength, kind };
}
