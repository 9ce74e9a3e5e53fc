import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { OPEN_LINE } from './channels.ts';

type Environment = Readonly<Record<string, string | undefined>>;

/** The desktop runtime, or in one line why there is none. */
export type Runtime = { readonly file: string } | { readonly why: string };

/** Where the desktop runtime is looked for. */
export interface RuntimeSearch {
  readonly env: Environment;
  readonly platform: string;
  /** Folder of the package that brings the runtime. */
  readonly package: string;
  /** Time for the whole search with a download, in ms. */
  readonly limit: number;
}

/** Folder of the installed package that brings the runtime. */
export function runtimePackage(): string {
  return dirname(createRequire(import.meta.url).resolve('electron/package.json'));
}

/**
 * The runtime as the package's own installer leaves it: `path.txt` names the program inside `dist`. Where it is not there
 * and must not be downloaded, `final` is set.
 */
export function runtimeHere({
  env,
  platform,
  package: folder,
}: Omit<RuntimeSearch, 'limit'>):
  | { readonly file: string }
  | { readonly why: string; readonly final: boolean } {
  if (platform === 'linux' && !env.DISPLAY && !env.WAYLAND_DISPLAY)
    return { why: 'there is no screen (neither DISPLAY nor WAYLAND_DISPLAY is set)', final: true };
  const marker = join(folder, 'path.txt');
  const program = existsSync(marker) ? readFileSync(marker, 'utf8').trim() : null;
  const override = env.ELECTRON_OVERRIDE_DIST_PATH;
  const absent = {
    why: `the desktop runtime is not in ${override ?? folder}`,
    final: override !== undefined,
  };
  if (override === undefined && program === null) return absent;
  const file = join(override ?? join(folder, 'dist'), program ?? 'electron');
  return existsSync(file) ? { file } : absent;
}

/** The first line of what a program said that is not a place in a stack. */
const reasonIn = (text: string): string =>
  text
    .split('\n')
    .map((line) => line.trim())
    .find((line) => line !== '' && !line.startsWith('at ')) ?? 'no reason given';

/**
 * Runs the package's own installer, which downloads the runtime; null when it is there, else why not. A download that takes
 * longer than `limit` goes on for as long as this program runs, so that a later start finds it.
 */
function download(folder: string, limit: number): Promise<string | null> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [join(folder, 'install.js')], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    process.once('exit', () => child.kill('SIGKILL'));
    let said = '';
    child.stderr.on('data', (data: Buffer) => {
      said = (said + data.toString()).slice(0, 4096);
    });
    const late = setTimeout(() => resolve('its download goes on in the background for a later start'), limit);
    child.once('error', (error) => {
      clearTimeout(late);
      resolve(error.message);
    });
    child.once('exit', (code) => {
      clearTimeout(late);
      resolve(code === 0 ? null : `its download failed: ${reasonIn(said)}`);
    });
  });
}

/**
 * Finds the desktop runtime, and downloads it when it is not there. Answers within `limit`: a machine without a screen or
 * without a way out is told at once.
 */
export async function findRuntime({ limit, ...search }: RuntimeSearch): Promise<Runtime> {
  const here = runtimeHere(search);
  if ('file' in here) return here;
  if (here.final) return { why: here.why };
  const failed = await download(search.package, limit);
  if (failed !== null) return { why: `the desktop runtime is not here, and ${failed}` };
  const arrived = runtimeHere(search);
  return 'file' in arrived ? arrived : { why: 'the desktop runtime was downloaded but is not complete' };
}

/** How the desktop came up: a window, an end without one, or in one line why it could not. */
export type Launch =
  | { readonly kind: 'open'; readonly ended: Promise<number> }
  | { readonly kind: 'ended'; readonly code: number }
  | { readonly kind: 'failed'; readonly why: string };

export interface LaunchOptions {
  readonly file: string;
  /** Arguments: the built program's folder first. */
  readonly args: readonly string[];
  /** Time within which a window should be there, in ms. */
  readonly limit: number;
  /** Exit codes that are an answer, and not a failure of the runtime. */
  readonly answers: readonly number[];
}

function firstReason(child: ChildProcess): () => string {
  let said = '';
  child.stderr?.on('data', (data: Buffer) => {
    process.stderr.write(data);
    said = (said + data.toString()).slice(0, 4096);
  });
  return () => reasonIn(said);
}

/** Starts the desktop window and waits until it is there, or it is known that it will not be. */
export function launchDesktop({ file, args, limit, answers }: LaunchOptions): Promise<Launch> {
  const child = spawn(file, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  const reason = firstReason(child);
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => child.kill(signal));
  const ended = new Promise<number>((resolve) => child.once('exit', (code) => resolve(code ?? 1)));
  return new Promise((resolve) => {
    const late = setTimeout(() => {
      child.kill('SIGKILL');
      resolve({ kind: 'failed', why: `no window came within ${Math.round(limit / 1000)} s` });
    }, limit);
    const settle = (launch: Launch): void => {
      clearTimeout(late);
      resolve(launch);
    };
    let out = '';
    child.stdout.on('data', (data: Buffer) => {
      process.stdout.write(data);
      out = (out + data.toString()).slice(-4096);
      if (out.includes(OPEN_LINE)) settle({ kind: 'open', ended });
    });
    child.once('error', (error) => settle({ kind: 'failed', why: error.message }));
    child.once('exit', (code, signal) => {
      if (code !== null && answers.includes(code)) return settle({ kind: 'ended', code });
      settle({
        kind: 'failed',
        why: `the desktop runtime ended with ${signal ?? `code ${code}`}: ${reason()}`,
      });
    });
  });
}
