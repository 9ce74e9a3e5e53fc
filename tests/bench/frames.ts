import { ReadlineParser } from 'serialport';
import type { Shape } from '../../drivers/frames/shape.ts';
import { SHAPES } from '../../drivers/frames/shapes.ts';
import { Intake } from '../../drivers/link/intake.ts';
import { parseLineSettings } from '../../drivers/link/line-settings.ts';
import { SteppedClock } from '../../drivers/simulated/clock.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { ROOMS } from '../../drivers/simulated/physics.ts';

/**
 * Lines a second of the whole way from bytes to readings (framer, shape, exact grams), beside the line parser of
 * serialport with one bare regular expression on the same bytes. Bytes come in chunks of 64, as from a port. Shapes
 * that end their lines otherwise than that parser expects are left out.
 */

const CHUNK = 64;
const LINE = parseLineSettings('9600 8N1');
const BARE = /^(.*?)([+-]?) *(\d+\.\d+) *([A-Za-z]*)/;
const LONGEST_HOURS = 8;
const SEED = 2;

/** Bytes of `lines` lines: a vessel put on, drops, rest. */
function capture(shape: string, lines: number): Buffer {
  const clock = new SteppedClock();
  const instrument = new Instrument({ clock, shape, room: ROOMS.normal, seed: SEED, rateHz: 20 });
  const parts: Buffer[] = [];
  instrument.onBytes((bytes) => parts.push(bytes));
  instrument.start();
  for (let k = 0; parts.length < lines; k++) {
    if (clock.now() > LONGEST_HOURS * 3_600_000) throw new Error(`the shape ${shape} sends too few lines`);
    if (k % 60 === 5) instrument.controls.putVessel(40 + (k % 7));
    if (k % 6 === 0) instrument.controls.addDrop(0.03);
    clock.advance(500);
  }
  return Buffer.concat(parts.slice(0, lines));
}

const chunks = (bytes: Buffer): Buffer[] =>
  Array.from({ length: Math.ceil(bytes.length / CHUNK) }, (_, k) =>
    bytes.subarray(k * CHUNK, (k + 1) * CHUNK),
  );

function ours(shape: Shape, parts: readonly Buffer[]): number {
  const intake = new Intake(LINE, shape, { said: 'g' });
  let weights = 0;
  let at = 0;
  for (const part of parts)
    for (const one of intake.take(part, at++).observations) if (one.kind === 'weight') weights += 1;
  return weights;
}

function theirs(parts: readonly Buffer[]): number {
  const parser = new ReadlineParser({ delimiter: '\n' });
  let weights = 0;
  parser.on('data', (line: string) => {
    const match = BARE.exec(line);
    if (match !== null && Number.isFinite(Number(match[3]))) weights += 1;
  });
  for (const part of parts) parser.write(part);
  return weights;
}

/** Best of several runs, seconds. */
function seconds(run: () => number): { best: number; weights: number } {
  let best = Number.POSITIVE_INFINITY;
  let weights = 0;
  for (let k = 0; k < 5; k++) {
    const started = performance.now();
    weights = run();
    best = Math.min(best, (performance.now() - started) / 1000);
  }
  return { best, weights };
}

/** For each shape: lines a second of both, and their ratio (1 is equal, 0.5 is half as fast). */
export function framesBench(lines: number): { shape: string; ours: number; theirs: number; ratio: number }[] {
  return SHAPES.filter(({ name }) => capture(name, 20).includes('\r\n')).map((shape) => {
    const parts = chunks(capture(shape.name, lines));
    const we = seconds(() => ours(shape, parts));
    const they = seconds(() => theirs(parts));
    if (we.weights === 0) throw new Error(`no weight was read in the shape ${shape.name}`);
    return {
      shape: shape.name,
      ours: lines / we.best,
      theirs: lines / they.best,
      ratio: they.best / we.best,
    };
  });
}

if (import.meta.main) {
  const lines = Number(process.argv[2] ?? 20_000);
  console.log(
    `bytes to readings, ${lines} lines a shape, seed ${SEED}, lines a second; beside parser-readline and a bare regex`,
  );
  for (const { shape, ours: we, theirs: they, ratio } of framesBench(lines))
    console.log(
      `  ${shape.padEnd(16)} ${Math.round(we).toLocaleString('en')} beside ${Math.round(they).toLocaleString('en')}, ratio ${ratio.toFixed(2)}`,
    );
}
