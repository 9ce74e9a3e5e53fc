import { cpus } from 'node:os';
import type { BalanceLimits, Lot, Material } from '../../core/formula/types.ts';
import { type CorrectionLine, corrections } from '../../core/pour/correction.ts';
import { Decimal } from '../../core/quantity/decimal.ts';
import { type AsMadeInput, asMade, type NetPour } from '../../core/record/as-made.ts';
import { uncertaintyOf } from '../../core/record/uncertainty.ts';

/** Measures the corrections and the as-made figures of 500 lines: median and quickest of many runs, in ms. */
const LINES = 500;
const RUNS = 60;
const WARM_UP = 20;

function measured(name: string, bar: number, run: () => unknown): void {
  const times: number[] = [];
  for (let i = 0; i < WARM_UP + RUNS; i += 1) {
    const start = performance.now();
    run();
    if (i >= WARM_UP) times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  const median = times[RUNS / 2] ?? Number.NaN;
  const text = `median ${median.toFixed(1)} ms, quickest ${(times[0] ?? Number.NaN).toFixed(1)} ms`;
  console.log(`${name}: ${text} (bar ${bar} ms${median <= bar ? '' : ', MISSED'})`);
}

const grams = (i: number): Decimal => new Decimal(((i * 37) % 971) + 20).div(100);

/** Two thirds poured, one in a hundred of them over. */
const lines = Array.from({ length: LINES }, (_, i): CorrectionLine => {
  const target = grams(i);
  const share = i >= 330 ? 0 : i % 100 === 7 ? 1.08 : 1 + (((i * 13) % 17) - 8) / 1000;
  return {
    id: `line-${i}`,
    title: `Line ${i}`,
    target,
    half: Decimal.max(target.div(100), '0.01'),
    poured: target.times(share).toDecimalPlaces(2),
    drop: new Decimal('0.021'),
    qs: i === LINES - 1,
    solvent: i === LINES - 1,
    accepted: false,
    stock: new Decimal(100),
    price: new Decimal('0.4'),
    lot: `lot-${i % 400}`,
  };
});
const rules = {
  tolerance: new Decimal('0.01'),
  d: new Decimal('0.01'),
  vesselRoom: new Decimal(100),
  balanceRoom: new Decimal(200),
};

const materials: Material[] = [
  ...Array.from(
    { length: 400 },
    (_, i): Material => ({
      key: `m${i}`,
      name: `Material ${i}`,
      note: 'heart',
      family: 'florals',
      kind: 'neat',
    }),
  ),
  { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent' },
  { key: 'water', name: 'Water', note: null, family: 'solvents', kind: 'solvent' },
];
/** Every lot a dilution or a base of up to four materials, in ethanol and water, each strength uncertain. */
const lots = Array.from({ length: 400 }, (_, i): Lot => {
  const neat = Array.from({ length: 1 + (i % 4) }, (_unused, j) => `m${(i + j * 97) % 400}`);
  return {
    code: `lot-${i}`,
    name: `Lot ${i}`,
    composition: {
      ...Object.fromEntries(neat.map((key) => [key, '0.1'])),
      ethanol: '0.55',
      water: String((450 - 100 * neat.length) / 1000),
    },
    uncertainty: Object.fromEntries(neat.map((key) => [key, '0.0005'])),
  };
});
let gross = new Decimal('61.48');
const pours = Array.from({ length: LINES }, (_, i): NetPour => {
  const before = gross;
  gross = gross.plus(grams(i));
  return { line: `line-${i}`, lot: `lot-${i % 400}`, before, after: gross, net: gross.minus(before) };
});
const input: AsMadeInput = {
  formula: { id: 'f', name: 'f', batch: '1', tolerance: '0.01', lines: [] },
  materials,
  lots,
  pours,
  lines: lines.map(({ id, title, target, half, drop }, i) => ({
    line: id,
    title,
    lot: `lot-${i % 400}`,
    target,
    half,
    drop,
    mark: 'inside',
  })),
};
const limits: BalanceLimits = { d: '0.01', s: '0.006', c: '0.0001', capacity: '6200' };

console.log(
  `${LINES} lines, Node ${process.versions.node}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`,
);
measured('corrections: least, exact and keep', 10, () => corrections(lines, rules));
measured('as made with full covariance', 50, () => uncertaintyOf(input, limits, asMade(input)));
