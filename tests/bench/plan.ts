/**
 * Plan of 500 lines with five levels of dilution, beside a general-purpose matrix library on the same equations.
 * Run with: node tests/bench/plan.ts
 */
import { lusolve } from 'mathjs';
import { defaultMaterial } from '../../core/formula/defaults.ts';
import { plan } from '../../core/formula/plan.ts';
import type { Formula, Lot, Material } from '../../core/formula/types.ts';

const LINES = 500;
const RUNS = 60;
const LEVELS = ['1', '0.5', '0.1', '0.01', '0.001'] as const;
const BALANCE = { d: '0.0001', s: '0.00005', c: '0.00001', capacity: '20000' };

const key = (line: number): string => `material-${line}`;

/** One bottle of a material at one strength; dilutions in ethanol of 96 % vol, glycol or absolute ethanol. */
function bottle(line: number, strength: string): Lot {
  const solvent = ((10000 - Number(strength) * 10000) / 10000).toString();
  const parts: Record<string, string> = { [key(line)]: strength };
  if (strength !== '1') parts[line % 3 === 0 ? 'dipropylene-glycol' : 'ethanol'] = solvent;
  return {
    code: `${line}-${strength}`,
    name: `Material ${line} at ${strength}`,
    composition: parts,
    stock: '5000',
  };
}

const solvents: Lot[] = [
  { code: 'DPG', name: 'Glycol', composition: { 'dipropylene-glycol': '1' } },
  { code: 'WA', name: 'Water', composition: { water: '1' } },
  { code: 'ET96', name: 'Ethanol 96 % vol', composition: { ethanol: '0.938384', water: '0.061616' } },
];

/** 498 materials, each poured from one of five strengths, glycol and water lines, ethanol to the total. */
function bench(byHand: boolean): { formula: Formula; materials: Material[]; lots: Lot[] } {
  const lots = [...solvents];
  const lines: Formula['lines'][number][] = [];
  for (let line = 0; line < LINES - 3; line++) {
    const level = LEVELS[line % LEVELS.length] ?? '1';
    for (const strength of byHand ? [level] : LEVELS) lots.push(bottle(line, strength));
    const fraction = (0.0004 * Number(level)).toFixed(7);
    lines.push({
      id: `l${line}`,
      material: key(line),
      fraction,
      ...(byHand ? { lot: `${line}-${level}` } : {}),
    });
  }
  lines.push({ id: 'glycol', material: 'dipropylene-glycol', fraction: '0.2', lot: 'DPG' });
  lines.push({ id: 'water', material: 'water', fraction: '0.1', lot: 'WA' });
  lines.push({ id: 'fill', material: 'ethanol', qs: true, lot: 'ET96' });
  const keys = new Set(lots.flatMap((lot) => Object.keys(lot.composition)));
  const formula = { id: 'bench', name: 'Bench', batch: '10000', tolerance: '0.01', lines };
  return { formula, materials: [...keys].map((one) => defaultMaterial(one)), lots };
}

/** The same equations as a dense matrix, for the general library. */
function matrixOf({ formula, lots }: ReturnType<typeof bench>): { matrix: number[][]; right: number[] } {
  const byCode = new Map(lots.map((lot) => [lot.code, lot]));
  const columns = formula.lines.map((line) => byCode.get(line.lot ?? '')?.composition ?? {});
  const matrix = formula.lines.map((line) =>
    columns.map((composition) => (line.qs === true ? 1 : Number(composition[line.material] ?? '0'))),
  );
  return { matrix, right: formula.lines.map((line) => 10000 * Number(line.fraction ?? '1')) };
}

/** Times of many runs, in ms. */
function timed(run: () => unknown, runs: number): string {
  for (let warm = 0; warm < Math.min(runs, 20); warm++) run();
  const before = process.cpuUsage();
  const times = Array.from({ length: runs }, () => {
    const start = performance.now();
    run();
    return performance.now() - start;
  }).sort((a, b) => a - b);
  const cpu = (process.cpuUsage(before).user / 1000 / runs).toFixed(2);
  const at = (share: number) => (times[Math.floor(share * (times.length - 1))] ?? Number.NaN).toFixed(2);
  return `median ${at(0.5)} ms, quickest ${at(0)} ms, 95th percentile ${at(0.95)} ms, processor ${cpu} ms a run of ${runs}`;
}

const named = bench(true);
const free = bench(false);
const made = plan(named.formula, named.materials, named.lots, BALANCE);
const { matrix, right } = matrixOf(named);
const general = lusolve(matrix, right) as number[][];
const own = new Map(made.steps.map((step) => [step.line, Number(step.target)]));
const apart = Math.max(
  ...named.formula.lines.map((line, at) =>
    Math.abs((own.get(line.id) ?? 0) - (general[at]?.[0] ?? Number.NaN)),
  ),
);

console.log(`plan, ${LINES} lines, bottles of five levels of dilution, masses in decimal:`);
console.log(
  `  bottles named by hand:        ${timed(() => plan(named.formula, named.materials, named.lots, BALANCE), RUNS)}`,
);
console.log(
  `  chosen among ${free.lots.length} bottles:  ${timed(() => plan(free.formula, free.materials, free.lots, BALANCE), RUNS)}`,
);
console.log(
  `  general matrix library, the equations alone, floating point: ${timed(() => lusolve(matrix, right), 5)}`,
);
console.log(`  largest difference of a target: ${apart.toExponential(1)} g of 10000 g`);
