import type { BalanceLimits, Lot, Material } from '../../../core/formula/types.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import type { AsMadeInput, MadeLine, NetPour } from '../../../core/record/as-made.ts';

export const limits: BalanceLimits = { d: '0.01', s: '0.006', c: '0.0002', capacity: '200' };

const neat = (key: string): Material => ({ key, name: key, note: 'heart', family: 'florals', kind: 'neat' });
const solvent = (key: string): Material => ({
  key,
  name: key,
  note: null,
  family: 'solvents',
  kind: 'solvent',
});

export const materials: Material[] = [
  neat('rose'),
  neat('cedar'),
  neat('musk'),
  solvent('ethanol'),
  solvent('water'),
];

export const lots: Lot[] = [
  {
    code: 'R10',
    name: 'Rose 10 %',
    composition: { rose: '0.0962', ethanol: '0.9038' },
    uncertainty: { rose: '0.0006' },
  },
  {
    code: 'B1',
    name: 'Base',
    composition: { rose: '0.12', cedar: '0.3', musk: '0.05', ethanol: '0.51', water: '0.02' },
    uncertainty: { rose: '0.001', cedar: '0.0015', musk: '0.0004' },
  },
  { code: 'M', name: 'Musk', composition: { musk: '1' } },
  {
    code: 'E96',
    name: 'Ethanol 96 %',
    composition: { ethanol: '0.938384', water: '0.061616' },
    uncertainty: { ethanol: '0.0008' },
  },
];

/** Lots with the gross readings each net lies between: neighbours share theirs, but where the display was re-tared. */
const POURS: readonly [line: string, lot: string, before: string, after: string][] = [
  ['rose', 'R10', '51.20', '53.22'],
  ['base', 'B1', '53.22', '56.71'],
  ['musk', 'M', '56.71', '56.83'],
  ['rose', 'R10', '0.00', '0.41'],
  ['base', 'B1', '0.41', '1.02'],
  ['qs', 'E96', '1.02', '15.57'],
];

export const pours: NetPour[] = POURS.map(([line, lot, before, after]) => ({
  line,
  lot,
  before: decimal(before),
  after: decimal(after),
  net: decimal(after).minus(decimal(before)),
}));

const line = (id: string, lot: string, target: string): MadeLine => ({
  line: id,
  title: id,
  lot,
  target: new Decimal(target),
  half: new Decimal(target).div(100),
  drop: new Decimal('0.02'),
  mark: 'inside',
});

export const input: AsMadeInput = {
  formula: { id: 'f', name: 'f', batch: '20', tolerance: '0.01', lines: [] },
  materials,
  lots,
  pours,
  lines: [
    line('rose', 'R10', '2.43'),
    line('base', 'B1', '4.1'),
    line('musk', 'M', '0.12'),
    line('qs', 'E96', '14.55'),
  ],
};
