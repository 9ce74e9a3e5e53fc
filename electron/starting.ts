import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { Command } from 'commander';
import { buildAll, isStale, ROOT } from './build.ts';
import { type Host, openHost } from './host/host.ts';
import { dataFolder } from './host/place.ts';
import { troubleOf } from './host/trouble.ts';
import { findBrowser, openAppWindow } from './loopback/browser.ts';
import { createPapers } from './loopback/papers.ts';
import { type Loopback, serveLoopback } from './loopback/server.ts';
import { DEMO, UNUSABLE_DATA } from './window/channels.ts';
import { findRuntime, launchDesktop, runtimePackage } from './window/runtime.ts';

/** Shares of the 10 s within which it is decided which window opens: the runtime's download, then its window, in ms. */
const DOWNLOAD_LIMIT = 5_000;
const WINDOW_LIMIT = 4_500;

interface Options {
  readonly browser: boolean;
  readonly open: boolean;
  readonly data: string;
  readonly demo: boolean;
}

const say = (line: string): void => void process.stdout.write(`${line}\n`);

function options(): Options {
  const given = new Command('pourwright')
    .description('Opens Pourwright: in its desktop window, or the same program in a browser.')
    .option('--browser', 'use a browser window on 127.0.0.1', false)
    .option('--no-open', 'open nothing, only print the address (for a machine without a screen)')
    .option('--data <folder>', 'folder of the database', dataFolder(process.env, process.platform))
    .option('--demo', 'begin an empty folder with the demo workshop and the simulated balance', false)
    .parse()
    .opts<Options>();
  return { ...given, data: resolve(given.data) };
}

/** Opens the desktop window and stays until it is closed: the exit code, or in one line why it cannot be. */
async function desktop({ data, demo }: Options): Promise<number | string> {
  const runtime = await findRuntime({
    env: process.env,
    platform: process.platform,
    package: runtimePackage(),
    limit: DOWNLOAD_LIMIT,
  });
  if ('why' in runtime) return runtime.why;
  const unconfined = process.platform === 'linux' && process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const launch = await launchDesktop({
    file: runtime.file,
    args: [...unconfined, ROOT, `--data=${data}`, ...(demo ? [DEMO] : [])],
    limit: WINDOW_LIMIT,
    answers: [0, UNUSABLE_DATA],
  });
  if (launch.kind === 'failed') return launch.why;
  return launch.kind === 'open' ? launch.ended : launch.code;
}

/** Waits for Ctrl-C or the end of the session. */
function interrupted(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve());
  });
}

/** Prints an address that lets one browser in, and a new one at every Enter. */
function printAddress(loopback: Loopback): void {
  say(`Pourwright is at ${loopback.address()}`);
  if (!process.stdin.isTTY) return;
  say('Press Enter for a new address, Ctrl-C to end.');
  createInterface({ input: process.stdin }).on('line', () => say(`Pourwright is at ${loopback.address()}`));
}

/** Shows the page in a browser's own window until it is closed; where none comes up, prints the address instead. */
async function show(loopback: Loopback, open: boolean, stop: Promise<void>): Promise<void> {
  const browser = open ? findBrowser(process.env, process.platform) : null;
  const screen = process.platform !== 'linux' || process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
  if (browser !== null && screen) {
    say(`Pourwright opens in a window of ${browser}. Close the window or press Ctrl-C to end.`);
    const window = openAppWindow(browser, loopback.address());
    const shown = await Promise.race([window.ended, stop.then(() => true)]);
    window.close();
    if (shown) return;
    say('The browser showed no window.');
  }
  printAddress(loopback);
  await stop;
}

async function loopbackWindow({ data, open, demo }: Options): Promise<void> {
  const stop = interrupted();
  const papers = createPapers();
  const capabilities = { saveDialog: null, menu: false, showPdf: papers.show };
  const host: Host = await openHost({ data, demo, capabilities });
  try {
    const loopback = await serveLoopback({ host, pages: join(ROOT, 'dist', 'window'), papers });
    await show(loopback, open, stop);
    await loopback.close();
  } finally {
    await host.close();
  }
}

async function start(): Promise<number> {
  const chosen = options();
  if (isStale()) {
    say(
      existsSync(join(ROOT, 'dist'))
        ? 'The program has changed: building it.'
        : 'First start: building the program.',
    );
    await buildAll();
  }
  if (!chosen.browser && chosen.open) {
    const outcome = await desktop(chosen);
    if (typeof outcome === 'number') return outcome;
    say(`No desktop window: ${outcome}. The same program opens in a browser instead.`);
  }
  await loopbackWindow(chosen);
  return 0;
}

try {
  process.exit(await start());
} catch (cause) {
  const { what, where, next } = troubleOf(cause, 'start');
  process.stderr.write(`${[what, where, next].filter((part) => part !== null).join('\n')}\n`);
  process.exit(UNUSABLE_DATA);
}
