import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { onTestFinished } from 'vitest';
import type { PourLine, StepLine } from '../../electron/console/pour-line.ts';

type Finished = typeof onTestFinished;

export type Line = Readonly<Record<string, unknown>>;

export const ROOT = resolve(import.meta.dirname, '../..');

/** Many short processes are started: they share what the first has compiled. */
const COMPILED = join(tmpdir(), 'console-compiled');

/** A console process with what it has said so far. */
export interface Run {
  readonly child: ChildProcess;
  /** Parsed lines of standard output, in order. */
  readonly lines: Line[];
  /** Standard error so far. */
  words(): string;
  /** Exit code, or the signal that ended it. */
  readonly ended: Promise<number | string>;
}

/** Starts the console as a script would. `hear` is called with each line as it comes. */
export function consoleRun(
  finished: Finished,
  args: readonly string[],
  hear: (line: Line) => void = () => {},
): Run {
  const child = spawn(process.execPath, ['electron/console/main.ts', ...args], {
    cwd: ROOT,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, NODE_COMPILE_CACHE: COMPILED },
  });
  const lines: Line[] = [];
  let rest = '';
  let words = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    const parts = (rest + text).split('\n');
    rest = parts.pop() ?? '';
    for (const part of parts) {
      const line = JSON.parse(part) as Line;
      lines.push(line);
      hear(line);
    }
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    words += text;
  });
  const ended = new Promise<number | string>((done) => {
    child.on('close', (code, signal) => done(code ?? String(signal)));
  });
  finished(async () => {
    child.kill('SIGKILL');
    await ended;
  });
  return { child, lines, words: () => words, ended };
}

/** A folder for the length of one test. */
export function folder(finished: Finished): string {
  const made = mkdtempSync(join(tmpdir(), 'console-'));
  finished(() => rmSync(made, { recursive: true, force: true }));
  return made;
}

/** Three lines, 12 g: two oils, one of them from a dilution, and ethanol to the total. */
export const formula = {
  format: 'pourwright formula 1',
  name: 'Window sill',
  batch: '12 g',
  tolerance: '0.01',
  lots: [
    { code: 'LA', name: 'Lavender oil', composition: { lavender: '1' }, drop: '0.027', price: '0.3' },
    {
      code: 'VE',
      name: 'Vetiver oil 9.94 % in ethanol',
      composition: { vetiver: '0.0994', ethanol: '0.9006' },
      drop: '0.012',
      price: '0.1',
    },
    {
      code: 'ET',
      name: 'Ethanol 96 % vol',
      composition: { ethanol: '0.938384', water: '0.061616' },
      drop: '0.013',
      price: '0.01',
    },
  ],
  lines: [
    { id: 'lavender', material: 'lavender', fraction: '0.15', lot: 'LA' },
    { id: 'vetiver', material: 'vetiver', fraction: '0.01', lot: 'VE' },
    { id: 'ethanol', material: 'ethanol', qs: true, lot: 'ET' },
  ],
};

/** Writes a formula file. @returns its path */
export function formulaFile(where: string, content: unknown = formula): string {
  const path = join(where, 'formula.json');
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
  return path;
}

export const isStep = (line: Line): line is Line & StepLine => line.event === 'step';

type Told<E, L = PourLine> = L extends PourLine ? (E extends L['event'] ? L : never) : never;

/** The lines of one kind, typed. */
export function linesOf<E extends PourLine['event']>(lines: readonly Line[], event: E): Told<E>[] {
  return lines.filter((line) => line.event === event) as unknown as Told<E>[];
}
