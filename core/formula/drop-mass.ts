import type { DecimalText } from '../quantity/decimal.ts';
import type { Bottle } from './bottle.ts';
import { ETHANOL, WATER } from './defaults.ts';

/**
 * Mass of one drop in g taken while none has been learnt for a lot. Typical values from memory for a disposable 3 mL
 * pipette (common practice, no source), to be learnt at the bench.
 */
const TYPICAL: Readonly<Record<'oil' | 'ethanol' | 'water', DecimalText>> = {
  oil: '0.025',
  ethanol: '0.017',
  water: '0.045',
};

/** Mass of one drop of a bottle in g: as learnt, else a typical one of its kind. */
export function dropOf(bottle: Bottle): DecimalText {
  if (bottle.lot.drop !== undefined) return bottle.lot.drop;
  if (bottle.parts.get(ETHANOL)?.gt('0.5') === true) return TYPICAL.ethanol;
  return bottle.parts.get(WATER)?.gt('0.5') === true ? TYPICAL.water : TYPICAL.oil;
}
