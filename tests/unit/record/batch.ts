import { createHash } from 'node:crypto';
import type { Lot, Material, Step } from '../../../core/formula/types.ts';
import type { PourEvent, StartFacts, StoredEvent } from '../../../core/pour/events.ts';
import { chainHash, FIRST_PREV } from '../../../core/record/chain.ts';
import type { Settled } from '../../../core/weighing/settling.ts';

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

const neat = (key: string, more: Partial<Material> = {}): Material => ({
  key,
  name: `${key} oil`,
  note: 'heart',
  family: 'florals',
  kind: 'neat',
  ...more,
});

export const materials: Material[] = [
  neat('rose'),
  neat('cedar', { note: 'base' }),
  { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent' },
  { key: 'water', name: 'Water', note: null, family: 'solvents', kind: 'solvent' },
  neat('unused'),
];

export const lots: Lot[] = [
  { code: 'R10', name: 'Rose 10 %', composition: { rose: '0.096', ethanol: '0.904' }, price: '2' },
  { code: 'C50', name: 'Cedar 50 %', composition: { cedar: '0.5', ethanol: '0.5' }, price: '0.5' },
  { code: 'E96', name: 'Ethanol 96 %', composition: { ethanol: '0.94', water: '0.06' } },
];

const step = (line: string, lot: string, target: string, more: Partial<Step> = {}): Step => ({
  line,
  material: line,
  lot,
  title: `${line} line`,
  note: 'heart',
  family: 'florals',
  kind: 'dilution',
  solid: false,
  qs: false,
  target,
  half: Math.max(Number(target) * 0.01, 0.01).toFixed(4),
  drop: '0.02',
  sureness: 'sure',
  dropTooLarge: false,
  cautions: [],
  reason: 'as written',
  ...more,
});

/** 20 g: rose 0.96 % from a 9.6 % dilution (2.00 g), cedar 10 % from a half (4.00 g), ethanol q.s. 14.00 g. */
export const facts: StartFacts = {
  operator: 'tester',
  balance: {
    name: 'bench',
    link: 'simulated',
    limits: { d: '0.01', s: '0.005', c: '0.0001', capacity: '200' },
  },
  formula: {
    id: 'f1',
    name: 'Rose and cedar',
    batch: '20',
    tolerance: '0.01',
    lines: [
      { id: 'rose', material: 'rose', fraction: '0.0096' },
      { id: 'cedar', material: 'cedar', fraction: '0.1' },
      { id: 'ethanol', material: 'ethanol', qs: true },
    ],
  },
  plan: {
    total: '20',
    tolerance: '0.01',
    steps: [
      step('rose', 'R10', '2'),
      step('cedar', 'C50', '4'),
      step('ethanol', 'E96', '14', { qs: true, kind: 'solvent', note: null }),
    ],
    warnings: [],
  },
  materials,
  lots,
};

export const settled = (g: string): Settled => ({ g, at: 1000, since: 300, readings: 8, rule: 'test rule' });

export const captured = (
  pour: number,
  line: string,
  lot: string,
  gross: readonly [string, string],
  net: string,
  verdict: 'inside' | 'over' | 'under' = 'inside',
): PourEvent => ({
  type: 'captured',
  pour,
  line,
  lot,
  before: gross[0],
  after: gross[1],
  net,
  verdict,
  settled: settled(gross[1]),
});

/** Chains events as the journal does, one second apart. */
export function stored(events: readonly PourEvent[], batch = 'b1'): StoredEvent[] {
  let prev = FIRST_PREV;
  return events.map((event, i) => {
    const entry = { batch, n: i + 1, at: `2026-01-31T09:30:${String(i).padStart(2, '0')}.000Z`, event };
    const hash = chainHash(sha256, prev, entry);
    const whole: StoredEvent = { ...entry, prev, hash };
    prev = hash;
    return whole;
  });
}

/** Rose over (2.20, revised to 2.22), least correction, cedar voided once, q.s., closed. */
export const wholeBatch: PourEvent[] = [
  { type: 'started', ...facts },
  { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
  { type: 'pour-begun', line: 'rose', lot: 'R10', confirmed: 'by eye', before: '50.00' },
  captured(1, 'rose', 'R10', ['50.00', '52.20'], '2.20', 'over'),
  { type: 'revised', pour: 1, after: '52.22', net: '2.22', verdict: 'over', settled: settled('52.22') },
  { type: 'confirmed', pour: 1 },
  {
    type: 'correction-chosen',
    choice: 'exact',
    scale: '1.11',
    targets: [
      { line: 'rose', target: '2.22', half: '0.0222', topUp: null },
      { line: 'cedar', target: '4.44', half: '0.0444', topUp: null },
      { line: 'ethanol', target: '15.54', half: '0.1554', topUp: null },
    ],
    total: '22.2',
  },
  { type: 'pour-begun', line: 'cedar', lot: 'C50', confirmed: 'by scan', before: '52.22' },
  captured(2, 'cedar', 'C50', ['52.22', '56.50'], '4.28', 'under'),
  { type: 'voided', pour: 2, reason: 'vessel touched', gross: '52.22' },
  captured(3, 'cedar', 'C50', ['52.22', '56.66'], '4.44'),
  { type: 'confirmed', pour: 3 },
  { type: 'pour-begun', line: 'ethanol', lot: 'E96', confirmed: 'by eye', before: '56.66' },
  captured(4, 'ethanol', 'E96', ['56.66', '72.20'], '15.54'),
  { type: 'confirmed', pour: 4 },
  { type: 'closed', gross: '72.19', closure: '-0.01', settled: settled('72.19') },
];
