import type { Lot, Material } from '../formula/types.ts';

/** It stands for a neat oil, so gloves are asked for as at work. */
const coloured = (key: string, name: string): Material => ({
  key,
  name,
  note: null,
  family: 'Practice',
  kind: 'neat',
  cautions: ['Gloves on, as for the neat oil it stands for: food colour stains.'],
});

/** What lessons are poured from: water, water with food colour, and kitchen oil. No neat perfume oil is needed. */
export const PRACTICE_MATERIALS: readonly Material[] = [
  { key: 'water', name: 'Water', note: null, family: 'Practice', kind: 'solvent', density: '0.998' },
  coloured('amber-water', 'Amber water'),
  coloured('green-water', 'Green water'),
  coloured('blue-water', 'Blue water'),
  {
    ...coloured('practice-oil', 'Practice oil'),
    cautions: ['Gloves on, as for neat oil. Kitchen oil makes the floor slippery: wipe it up at once.'],
  },
];

const lot = (code: string, name: string, drop: string, composition: Record<string, string>): Lot => ({
  code,
  name,
  drop,
  composition,
});

/** Bottles of the practice shelf. Masses of drops are those of water and kitchen oil (common practice, no source). */
export const PRACTICE_LOTS: readonly Lot[] = [
  lot('PW-1', 'Water', '0.045', { water: '1' }),
  lot('PA-1', 'Amber water', '0.040', { 'amber-water': '1' }),
  lot('PG-1', 'Green water', '0.040', { 'green-water': '1' }),
  lot('PG-1-10', 'Green water 10 %', '0.045', { 'green-water': '0.1', water: '0.9' }),
  lot('PB-1', 'Blue water', '0.040', { 'blue-water': '1' }),
  lot('PB-7', 'Blue water', '0.040', { 'blue-water': '1' }),
  lot('PO-1', 'Practice oil', '0.028', { 'practice-oil': '1' }),
];

/** The materials and lots that these lots need, for a lesson that carries its own small organ. */
export function organOf(codes: readonly string[]): { materials: Material[]; lots: Lot[] } {
  const lots = PRACTICE_LOTS.filter((one) => codes.includes(one.code));
  const keys = new Set(lots.flatMap((one) => Object.keys(one.composition)));
  return { materials: PRACTICE_MATERIALS.filter((one) => keys.has(one.key)), lots };
}
