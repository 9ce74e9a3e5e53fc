import type { DecimalText } from '../quantity/decimal.ts';
import type { Material } from './types.ts';

/** Key of ethanol and of water in compositions: the two whose mixture has its own density and whose flame is warned of. */
export const ETHANOL = 'ethanol';
export const WATER = 'water';

/** Key of what a supplier does not declare beside the purity of a neat material: it is neither wanted nor a solvent. */
export const UNDECLARED = 'undeclared';

/** Cautions usual in the trade (common practice, no source). They replace no document of the supplier. */
export const NEAT_CAUTION = 'Neat oil: wear gloves, keep it off the skin and out of the eyes, air the room.';
export const SOLID_CAUTION = 'Powder: do not breathe the dust.';
export const ETHANOL_CAUTION = 'Burns easily: no flame, no spark, no heat; air the room.';

/** Whether a caution speaks of the undiluted material, by its first word: it is not shown on a dilution. */
export const isOfNeat = (caution: string): boolean => /^(Neat|Powder)\b/.test(caution);

interface Solvent {
  readonly name: string;
  readonly density?: DecimalText;
  readonly cautions: readonly string[];
}

/**
 * Solvents known by their key, so that a formula file need not describe them (common practice, no source). Densities at
 * 20 °C in g/mL: ethanol and water by OIML R 22, the others typical values from memory.
 */
const SOLVENTS: Readonly<Record<string, Solvent>> = {
  ethanol: { name: 'Ethanol', density: '0.789', cautions: [ETHANOL_CAUTION] },
  water: { name: 'Water', density: '0.998', cautions: [] },
  [UNDECLARED]: { name: 'Undeclared rest', cautions: [] },
  'dipropylene-glycol': { name: 'Dipropylene glycol', density: '1.02', cautions: [] },
  'propylene-glycol': { name: 'Propylene glycol', density: '1.04', cautions: [] },
  'isopropyl-myristate': { name: 'Isopropyl myristate', density: '0.85', cautions: [] },
  'triethyl-citrate': { name: 'Triethyl citrate', density: '1.14', cautions: [] },
  isopropanol: { name: 'Isopropanol', density: '0.785', cautions: [ETHANOL_CAUTION] },
};

/** A key written as a name: "lavender-oil" is "Lavender oil". */
export function nameFromKey(key: string): string {
  const words = key.replace(/[-_]+/g, ' ').trim();
  return words === '' ? key : words.charAt(0).toUpperCase() + words.slice(1);
}

/** What is taken of a material that is only named: a known solvent, or else a neat material of family "unsorted". */
export function defaultMaterial(key: string, kind?: Material['kind'], solid = false): Material {
  const solvent = Object.hasOwn(SOLVENTS, key) ? SOLVENTS[key] : undefined;
  if (solvent !== undefined && kind !== 'neat')
    return { key, note: null, family: 'solvents', kind: 'solvent', ...solvent };
  const name = nameFromKey(key);
  if (kind === 'solvent') return { key, name, note: null, family: 'solvents', kind, cautions: [] };
  const cautions = [solid ? SOLID_CAUTION : NEAT_CAUTION];
  return { key, name, note: null, family: 'unsorted', kind: 'neat', cautions };
}
