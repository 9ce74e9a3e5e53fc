import { type ChildProcess, spawn } from 'node:child_process';
import { resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '../..');

/** The start as a person runs it, with what it prints. */
export interface Started {
  readonly child: ChildProcess;
  /** What was printed so far, both ways; without the line that says it builds, where a source was changed meanwhile. */
  readonly said: () => string;
  /** Waits for a line, and gives its groups; fails with what was printed when the program ends before. */
  readonly line: (pattern: RegExp) => Promise<RegExpExecArray>;
  readonly ended: Promise<number | string>;
  /** Time since the start, in ms. */
  readonly elapsed: () => number;
}

/** Runs `electron/start.ts` with `args` in an environment changed by `env`. */
export function startWith(args: readonly string[], env: Record<string, string | undefined> = {}): Started {
  const began = performance.now();
  const child = spawn(process.execPath, ['electron/start.ts', ...args], {
    cwd: ROOT,
    env: { ...process.env, DISPLAY: undefined, WAYLAND_DISPLAY: undefined, ...env },
  });
  let out = '';
  const hear = (data: Buffer): void => {
    out += data.toString();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  const ended = new Promise<number | string>((found) =>
    child.once('close', (code, signal) => found(code ?? signal ?? 'unknown')),
  );
  return {
    child,
    said: () => out.replace(/^(The program has changed|First start): .*\n/, ''),
    ended,
    elapsed: () => performance.now() - began,
    line: (pattern) =>
      new Promise((found, failed) => {
        const look = (): void => {
          const match = pattern.exec(out);
          if (match !== null) found(match);
        };
        look();
        child.stdout.on('data', look);
        child.stderr.on('data', look);
        ended.then((code) => failed(new Error(`ended with ${code} and no ${pattern}:\n${out}`)));
      }),
  };
}

export const ADDRESS = /^Pourwright is at (http:\/\/127\.0\.0\.1:(\d+)\/\?t=\S+)$/m;
