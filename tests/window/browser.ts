import { type Browser, chromium, type LaunchOptions } from 'playwright-core';
import { findBrowser } from '../../electron/loopback/browser.ts';
import { npmBrowser } from './npm-browser.ts';

/** Switches that keep a test browser from speaking to anyone but the page's own server. */
const QUIET = [
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-domain-reliability',
  '--disable-quic',
  '--disable-sync',
  '--no-first-run',
  '--no-default-browser-check',
  '--no-pings',
  '--font-render-hinting=none',
  '--disable-gpu',
];

/** The browser for the window tests: its program, and what its process needs besides. */
export interface TestBrowser {
  readonly file: string;
  readonly env: Record<string, string>;
}

/**
 * The browser named by POURWRIGHT_BROWSER, else one installed on the machine, else the one npm brings.
 * @throws Error when there is none for this machine
 */
export async function testBrowser(): Promise<TestBrowser> {
  const named = process.env.POURWRIGHT_BROWSER;
  if (named !== undefined && named !== '') return { file: named, env: {} };
  const found = findBrowser(process.env, process.platform);
  return found === null ? npmBrowser() : { file: found, env: {} };
}

/** The environment as plain text values. */
export const plainEnvironment = (): Record<string, string> =>
  Object.fromEntries(
    Object.entries(process.env).filter((entry): entry is [string, string] => entry[1] !== undefined),
  );

/** How a headless browser is started, with web security as a person's browser has it. */
export async function launchOptions(more: readonly string[] = []): Promise<LaunchOptions> {
  const { file, env } = await testBrowser();
  return {
    executablePath: file,
    headless: true,
    args: [...QUIET, ...more],
    env: { ...plainEnvironment(), ...env },
  };
}

/** Starts a headless browser. */
export async function launchBrowser(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch(await launchOptions(more));
}
