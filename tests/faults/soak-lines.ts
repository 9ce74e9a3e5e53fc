import { SHAPES, shapeNamed } from '../../drivers/frames/shapes.ts';
import { hostileLines, randomBytes } from './hostile.ts';

/**
 * Hostile bytes at length: `node tests/faults/soak-lines.ts [LINES] [SEED] [SHAPE ...]`. So many harmed lines of every
 * shape (a million by default), then as many random bytes at the framer. A line that is read as a mass it does not
 * hold is printed, with its control characters written out, to become a row of fixtures/captures; the exit code is then 1.
 */

const [count = '1000000', seed = '4', ...names] = process.argv.slice(2);
const lines = Number(count);
const shapes = names.length === 0 ? SHAPES : names.map(shapeNamed);
const MB = 1024 * 1024;

/** As a row of fixtures/captures writes it. */
const writtenOut = (line: string): string =>
  JSON.stringify(line).replace(
    /[^\x20-\x7e]/g,
    (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

let bad = 0;
for (const shape of shapes) {
  const started = performance.now();
  const { survivors, weights } = hostileLines(shape, lines, Number(seed));
  bad += survivors.length;
  console.log(
    `${shape.name.padEnd(16)} ${lines.toLocaleString('en')} harmed lines, seed ${seed}, ` +
      `${((performance.now() - started) / 1000).toFixed(1)} s: ` +
      `${weights.toLocaleString('en')} still whole weights, ` +
      (survivors.length === 0 ? 'none read wrongly' : `${survivors.length} READ WRONGLY`),
  );
  for (const { line, why } of survivors) console.log(`${writtenOut(line)}  ${why}`);
}
const started = performance.now();
const before = process.memoryUsage().rss;
const found = randomBytes(lines, Number(seed));
bad += found.length;
console.log(
  `random bytes     ${lines.toLocaleString('en')}, seed ${seed}, ${((performance.now() - started) / 1000).toFixed(1)} s: ` +
    `${found.length} weights, memory grew by ${((process.memoryUsage().rss - before) / MB).toFixed(1)} MB`,
);
process.exitCode = bad === 0 ? 0 : 1;
