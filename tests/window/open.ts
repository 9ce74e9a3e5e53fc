import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { resolve } from 'node:path';
import { _electron, chromium, type Page } from 'playwright-core';
import { DEMO } from '../../electron/window/channels.ts';
import { runtimeHere, runtimePackage } from '../../electron/window/runtime.ts';
import { launchBrowser, plainEnvironment } from './browser.ts';
import type { Told } from './stand-in/told.ts';

const ROOT = resolve(import.meta.dirname, '../..');

/** The windows one program has: in a browser, on the desktop with its runtime stood in for, and with the real one. */
export const WINDOWS = ['loopback', 'stand-in', 'electron'] as const;
export type WindowKind = (typeof WINDOWS)[number];

/** An open window of the built program. */
export interface OpenWindow {
  readonly page: Page;
  /** Process number of the program. */
  readonly pid: number;
  /** What the stand-in told: menu, dialogs, refusals. Empty for the other windows. */
  readonly told: readonly Told[];
  /** Where the next save dialog is answered to; null declines. Only the stand-in has it. */
  saveTo(path: string | null): void;
  /** Ends the program as a person does, and waits until it has gone: its exit code. */
  close(): Promise<number>;
}

const realRuntime = () =>
  runtimeHere({ env: process.env, platform: process.platform, package: runtimePackage() });

/** Why this kind of window cannot be opened on this machine; null when it can. */
export function whyNot(kind: WindowKind): string | null {
  if (kind !== 'electron') return null;
  const found = realRuntime();
  return 'why' in found ? found.why : null;
}

const codeOf = async (child: ChildProcess): Promise<number> => {
  if (child.exitCode !== null || child.signalCode !== null) return child.exitCode ?? -1;
  const [code] = await once(child, 'exit');
  return Number(code ?? -1);
};

/** Where the program has its data, and whether an empty folder begins with the demo workshop: absent, it does. */
export interface Place {
  readonly data: string;
  readonly demo?: boolean;
  /** The program's time runs so many times as fast; not with the real desktop runtime. */
  readonly pace?: number;
}

/** What lets a program's time run at another pace; nothing where none is asked. */
const paced = ({ pace }: Place): { switches: string[]; env: NodeJS.ProcessEnv } =>
  pace === undefined
    ? { switches: [], env: process.env }
    : {
        switches: ['--import', new URL('./pace.ts', import.meta.url).href],
        env: { ...process.env, POURWRIGHT_PACE: String(pace) },
      };

const switchesOf = ({ demo = true }: Place): string[] => (demo ? [DEMO] : []);

/** Starts the program without a window of its own and waits for the address it prints. */
export async function startProgram(
  place: Place,
  more: readonly string[] = [],
): Promise<{ child: ChildProcess; address: string }> {
  const { switches, env } = paced(place);
  const child = spawn(
    process.execPath,
    [...switches, 'electron/start.ts', '--no-open', '--data', place.data, ...switchesOf(place), ...more],
    { cwd: ROOT, env },
  );
  let out = '';
  child.stderr.on('data', (data: Buffer) => {
    out += data.toString();
  });
  const address = await new Promise<string>((found, failed) => {
    child.stdout.on('data', (data: Buffer) => {
      out += data.toString();
      const match = /^Pourwright is at (\S+)$/m.exec(out);
      if (match?.[1] !== undefined) found(match[1]);
    });
    child.once('exit', (code) => failed(new Error(`The program ended with code ${code}:\n${out}`)));
  });
  return { child, address };
}

/** A window in a browser, which can stay open while its program starts anew. */
export interface LoopbackWindow extends OpenWindow {
  /**
   * Ends the program and starts it again, at the same place or another: the exit code of the first. It ends as a person
   * ends it, or is killed as by a power cut, which has no exit code and gives -1.
   */
  again(at?: Place, how?: 'SIGTERM' | 'SIGKILL'): Promise<number>;
}

/** Starts the program and opens its window in a browser. */
export async function openLoopback(place: Place): Promise<LoopbackWindow> {
  let { child, address } = await startProgram(place);
  const browser = await launchBrowser().catch((cause: unknown) => {
    child.kill('SIGTERM');
    throw cause;
  });
  const page = await browser.newPage({ viewport: { width: 1280, height: 860 } });
  await page.goto(address);
  const end = (how: 'SIGTERM' | 'SIGKILL' = 'SIGTERM'): Promise<number> => {
    child.kill(how);
    return codeOf(child);
  };
  return {
    page,
    get pid() {
      return child.pid ?? 0;
    },
    told: [],
    saveTo: () => undefined,
    again: async (at = place, how) => {
      await page.goto('about:blank');
      const code = await end(how);
      ({ child, address } = await startProgram(at));
      await page.goto(address);
      return code;
    },
    close: async () => {
      await browser.close();
      return end();
    },
  };
}

/** Starts the built desktop program on the stand-in; what it tells is kept. */
export function startStandIn(place: Place): { child: ChildProcess; told: Told[] } {
  const hooks = new URL('./stand-in/hooks.ts', import.meta.url).href;
  const { switches, env } = paced(place);
  const child = fork(resolve(ROOT, 'dist/desktop/main.js'), [`--data=${place.data}`, ...switchesOf(place)], {
    cwd: ROOT,
    execPath: process.execPath,
    execArgv: [...switches, '--import', hooks],
    env,
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
  });
  const told: Told[] = [];
  child.on('message', (message: Told) => told.push(message));
  return { child, told };
}

async function openStandIn(place: Place): Promise<OpenWindow> {
  const { child, told } = startStandIn(place);
  const devtools = await new Promise<string>((found, failed) => {
    child.on('message', (message: Told) => {
      if (message.told === 'page') found(message.devtools);
    });
    child.once('exit', (code) =>
      failed(new Error(`The desktop ended with code ${code}: ${JSON.stringify(told)}`)),
    );
  });
  const browser = await chromium.connectOverCDP(devtools);
  const page = browser.contexts().flatMap((context) => context.pages())[0];
  if (page === undefined) throw new Error('The desktop opened no page.');
  await page.setViewportSize({ width: 1280, height: 860 });
  return {
    page,
    pid: child.pid ?? 0,
    told,
    saveTo: (path) => void child.send({ saveTo: path }),
    close: async () => {
      child.kill('SIGTERM');
      const code = await codeOf(child);
      await browser.close();
      return code;
    },
  };
}

async function openElectron(place: Place): Promise<OpenWindow> {
  const runtime = realRuntime();
  if ('why' in runtime) throw new Error(runtime.why);
  const unconfined = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const program = await _electron.launch({
    executablePath: runtime.file,
    args: [...unconfined, ROOT, `--data=${place.data}`, ...switchesOf(place)],
    env: plainEnvironment(),
  });
  const page = await program.firstWindow();
  const child = program.process();
  return {
    page,
    pid: child.pid ?? 0,
    told: [],
    saveTo: () => undefined,
    close: async () => {
      await program.close();
      return codeOf(child);
    },
  };
}

/**
 * Opens the built program at a place.
 * @throws Error when it ends before its page is there, with what it said
 */
export function openWindow(kind: WindowKind, place: Place): Promise<OpenWindow> {
  if (kind === 'loopback') return openLoopback(place);
  return kind === 'stand-in' ? openStandIn(place) : openElectron(place);
}
