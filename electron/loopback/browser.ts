import { spawn } from 'node:child_process';
import { accessSync, constants, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, isAbsolute, join } from 'node:path';

type Environment = Readonly<Record<string, string | undefined>>;

/** Names on the PATH of browsers that can show a page as a window of its own. */
const ON_PATH = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'microsoft-edge-stable',
];

const MAC = [
  'Google Chrome.app/Contents/MacOS/Google Chrome',
  'Chromium.app/Contents/MacOS/Chromium',
  'Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
];

const WINDOWS = [
  ['Google', 'Chrome', 'Application', 'chrome.exe'],
  ['Chromium', 'Application', 'chrome.exe'],
  ['Microsoft', 'Edge', 'Application', 'msedge.exe'],
];

function runnable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

function places(env: Environment, platform: string): string[] {
  if (platform === 'darwin')
    return ['/Applications', join(env.HOME ?? '', 'Applications')].flatMap((folder) =>
      MAC.map((name) => join(folder, name)),
    );
  if (platform === 'win32')
    return ['ProgramFiles', 'ProgramFiles(x86)', 'LOCALAPPDATA']
      .flatMap((name) => env[name] ?? [])
      .flatMap((folder) => WINDOWS.map((parts) => join(folder, ...parts)));
  const folders = (env.PATH ?? '').split(delimiter).filter((folder) => isAbsolute(folder));
  return ON_PATH.flatMap((name) => folders.map((folder) => join(folder, name)));
}

/** An installed browser that can show a page as a window of its own, or null. */
export function findBrowser(env: Environment, platform: string): string | null {
  return places(env, platform).find(runnable) ?? null;
}

/**
 * Arguments that show `address` as a window of its own with a profile of its own, so that its end is the window's end.
 * @param unconfined leave out the browser's sandbox, without which it does not run as root
 */
export function appWindowArguments(address: string, profile: string, unconfined: boolean): string[] {
  return [
    `--app=${address}`,
    `--user-data-dir=${profile}`,
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    ...(unconfined ? ['--no-sandbox'] : []),
  ];
}

/** A page shown as a window of its own. */
export interface AppWindow {
  /** True when a person closed it; false when it never came up or broke. */
  readonly ended: Promise<boolean>;
  close(): void;
}

/** A browser that ends sooner than this, in ms, did not show a window. */
const TOO_SOON = 2000;

/** Opens `address` as a window of its own in `browser`. */
export function openAppWindow(browser: string, address: string): AppWindow {
  const profile = mkdtempSync(join(tmpdir(), 'pourwright-window-'));
  const began = Date.now();
  const child = spawn(browser, appWindowArguments(address, profile, process.getuid?.() === 0), {
    stdio: 'ignore',
  });
  const ended = new Promise<boolean>((resolve) => {
    child.once('error', () => resolve(false));
    child.once('exit', (code) => resolve(code === 0 && Date.now() - began > TOO_SOON));
  }).finally(() => rmSync(profile, { recursive: true, force: true, maxRetries: 5 }));
  return { ended, close: () => void child.kill() };
}
