import { cpus } from 'node:os';
import type { Lot, Material } from '../../core/formula/types.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { SHELVES, shelves } from '../../electron/host/organ.ts';
import {
  firstOf,
  indexOf,
  lotByCode,
  type Narrowing,
  narrowed,
  WIDE,
} from '../../renderer/state/organ-search.ts';

/**
 * Measures the search over 2,000 materials and 5,000 lots, in ms of the wall clock and, after it, of the processor: the
 * second tells the program from a machine that does other things. The bar is held against the median.
 */
const MATERIALS = 2000;
const LOTS = 5000;
const RUNS = 200;
const BAR = 10;
const SEED = 20261125;

const random = seeded(SEED);
const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)] as T;
const WORDS = ['Rose', 'Cedar', 'Amber', 'Lavande', 'Fève', 'Iris', 'Mousse', 'Ладан', 'Citron', 'Vetiver'];
const MORE = ['absolute', 'oil', 'resinoid', 'base', 'aldehyde', 'acetate', 'extract', 'lactone'];

function organ(): { materials: Material[]; lots: Lot[] } {
  const materials = Array.from(
    { length: MATERIALS },
    (_, i): Material => ({
      key: `m${i}`,
      name: `${pick(WORDS)} ${pick(MORE)} ${i}`,
      note: pick(['top', 'heart', 'base'] as const),
      family: pick(SHELVES),
      kind: 'neat',
      otherNames: [`${pick(WORDS)} ${i % 97}`, `Parfumöl ${i % 31}`],
      cas: `${1000 + i}-${10 + (i % 90)}-${i % 10}`,
    }),
  );
  const lots = Array.from({ length: LOTS }, (_, i): Lot => {
    const neat = random() < 0.4;
    const key = `m${i % MATERIALS}`;
    return {
      code: `${String.fromCharCode(65 + (i % 26))}${String.fromCharCode(65 + (i % 25))}-${i}`,
      name: `${materials[i % MATERIALS]?.name} ${neat ? '' : '10 %'}`,
      composition: neat ? { [key]: '1' } : { [key]: '0.1', ethanol: '0.9' },
      stock: (random() * 100).toFixed(2),
      bestBefore: `202${6 + (i % 4)}-0${1 + (i % 9)}-15`,
      supplierLot: `S${100_000 + i}`,
    };
  });
  return {
    materials: [
      ...materials,
      { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent' },
    ],
    lots,
  };
}

function measured(name: string, runs: number, bar: number | null, run: (i: number) => unknown): void {
  const times: number[] = [];
  const before = process.cpuUsage();
  for (let i = 0; i < runs; i += 1) {
    const start = performance.now();
    run(i);
    times.push(performance.now() - start);
  }
  const used = process.cpuUsage(before);
  const cpu = (used.user + used.system) / 1000 / runs;
  const [first = Number.NaN, ...others] = times;
  others.sort((a, b) => a - b);
  const median = others[others.length >> 1] ?? Number.NaN;
  const most = others[Math.floor(others.length * 0.95)] ?? Number.NaN;
  const against = bar === null ? '' : ` (bar ${bar} ms${median <= bar ? '' : ', MISSED'})`;
  console.log(
    `${name}: first ${first.toFixed(2)} ms, median ${median.toFixed(2)} ms, 95th percentile ${most.toFixed(2)} ms${against}; processor ${cpu.toFixed(2)} ms each`,
  );
}

console.log(
  `Node ${process.versions.node}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}, seed ${SEED}`,
);
const { materials, lots } = organ();
const told = () => shelves({ materials, lots, formulas: [] }, new Map(), '2026-11-25');
measured(`shelves of ${MATERIALS} materials and ${LOTS} lots, made in the host`, 10, null, told);
const view = told();
console.log(`told as ${(JSON.stringify(view).length / 1e6).toFixed(2)} MB of JSON`);
measured('made ready for searching, once in the window', 10, null, () => indexOf(view));
const index = indexOf(view);
const search = (name: string, wanted: (i: number) => Partial<Narrowing>): void => {
  const found = narrowed(index, { ...WIDE, ...wanted(3) });
  measured(`${name} [${found.materials} materials, ${found.lots} lots]`, RUNS, BAR, (i) =>
    firstOf(narrowed(index, { ...WIDE, ...wanted(i) }), 60),
  );
};
search('nothing asked', () => ({}));
search('as "vetiver oil" is typed', (i) => ({ words: 'vetiver oil'.slice(0, 1 + (i % 11)) }));
search('an accent left out', () => ({ words: 'feve' }));
search('Cyrillic', () => ({ words: 'ладан' }));
search('a word that nothing has', () => ({ words: 'zzzzzz' }));
search('a supplier lot', (i) => ({ words: `s10${1000 + i * 97}` }));
search('a CAS number', (i) => ({ words: `${1100 + i}-` }));
search('three words', () => ({ words: 'rose base 1' }));
search('note, family and strength', () => ({ note: 'base', family: 'woods', strength: 'middle' }));
search('expiring soon', () => ({ expiry: 'soon' }));
search('running out', () => ({ stock: 'low' }));
measured('a whole code, as a scanner sends it', RUNS, BAR, (i) =>
  lotByCode(index, lots[i * 117]?.code.toLowerCase() ?? ''),
);
