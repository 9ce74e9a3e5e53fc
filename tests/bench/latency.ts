import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { type ServedPort, servePty } from '../../drivers/simulated/pty.ts';
import { buildAll, isStale } from '../../electron/build.ts';
import { type OpenWindow, openWindow } from '../window/open.ts';

/**
 * From the bytes at the port to the changed figure in the window: `node tests/bench/latency.ts [lines]`.
 *
 * A line with a known figure is written to the master of a pseudo-terminal, 20 a second, while a batch is under way and
 * recorded; the program has its serial end, and a real browser shows its page. In the page an observer stamps the moment
 * the figure stands in the document, and the frame after it. Both clocks are those of this machine; how far they lie
 * apart is measured by asking the page for its time, and half of the shortest round trip is told as the error of that.
 */

const EVERY_MS = 50;
const VESSEL_G = 61.48;
const FORMULA = 'Hedge bank, trial 4';
/** Lines at rest after each pour, so that it is captured and stored. */
const REST = 30;
/** A pour takes at most so many lines. */
const STEPS = 40;
const BARS = { median: 10, p99: 33 };

const now = (): number => performance.timeOrigin + performance.now();
const sleep = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, Math.max(0, ms)));
const encode = new TextEncoder();

/** One line of the shape "comma-headed". */
const lineOf = (g: number): string =>
  `ST,${g < 0 ? '-' : '+'}${Math.abs(g).toFixed(2).padStart(8, '0')}  g\r\n`;

/** A process that does nothing but wake every 2 ms, and tells each time the machine let it wait longer than 5 ms. */
const IDLE = `let last = performance.now();
setInterval(() => {
  const now = performance.now();
  if (now - last > 7) process.stdout.write(performance.timeOrigin + last + " " + (performance.timeOrigin + now) + "\\n");
  last = performance.now();
}, 2)`;

/** Time in which an idle process of this machine was not woken, ms of this machine's clock. */
interface Stall {
  readonly from: number;
  readonly to: number;
}

function watchMachine(): { readonly stalls: readonly Stall[]; readonly child: ChildProcess } {
  const stalls: Stall[] = [];
  const child = spawn(process.execPath, ['-e', IDLE], { stdio: ['ignore', 'pipe', 'inherit'] });
  child.stdout?.on('data', (data: Buffer) => {
    for (const line of data.toString().split('\n')) {
      const [from, to] = line.split(' ').map(Number);
      if (from !== undefined && to !== undefined) stalls.push({ from, to });
    }
  });
  return { stalls, child };
}

interface Stamp {
  readonly figure: string;
  readonly shown: number;
  readonly frame: number;
}

/** Stamps every change of the figure under "the display reads". Runs in the page. */
function watchFigure(): void {
  const stamps: { figure: string; shown: number; frame: number }[] = [];
  Object.assign(window, { stamps });
  let last = '';
  const look = () => {
    const figure = document.querySelector('.ledger dd')?.textContent ?? '';
    if (figure === last || figure === '') return;
    last = figure;
    const stamp = { figure, shown: performance.timeOrigin + performance.now(), frame: 0 };
    stamps.push(stamp);
    requestAnimationFrame(() => {
      stamp.frame = performance.timeOrigin + performance.now();
    });
  };
  new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
}

/** How far the page's clock is ahead of this one, and the error of that, ms. */
async function clockOffset(page: Page): Promise<{ offset: number; error: number }> {
  let best = { offset: 0, error: Number.POSITIVE_INFINITY };
  for (let n = 0; n < 60; n += 1) {
    const from = now();
    const there = await page.evaluate(() => performance.timeOrigin + performance.now());
    const to = now();
    if ((to - from) / 2 < best.error) best = { offset: there - (from + to) / 2, error: (to - from) / 2 };
  }
  return best;
}

/** Sends one line every 50 ms, whatever the time each takes. */
class Sender {
  readonly #port: ServedPort;
  #next = now();
  #gross = 0;
  readonly sent: { figure: string; at: number }[] = [];

  constructor(port: ServedPort) {
    this.#port = port;
  }

  async send(g: number): Promise<void> {
    this.#next += EVERY_MS;
    await sleep(this.#next - now());
    const figure = `${g.toFixed(2)} g`;
    const at = now();
    this.#port.write(encode.encode(lineOf(g)));
    if (g !== this.#gross) this.sent.push({ figure, at });
    this.#gross = g;
  }

  async rest(lines: number): Promise<void> {
    for (let n = 0; n < lines; n += 1) await this.send(this.#gross);
  }

  /** From the present level to another, at every line another figure. */
  async rampTo(g: number): Promise<void> {
    const from = this.#gross;
    const steps = Math.max(1, Math.min(STEPS, Math.floor(Math.abs(g - from) / 0.01)));
    for (let n = 1; n <= steps; n += 1) await this.send(Number((from + ((g - from) * n) / steps).toFixed(2)));
  }

  get gross(): number {
    return this.#gross;
  }
}

async function choosePort(page: Page, path: string): Promise<void> {
  const reply = await page.evaluate(async (chosen) => {
    const socket = new WebSocket(`ws://${location.host}/socket`);
    await new Promise((open) => socket.addEventListener('open', open));
    const answer = new Promise<string>((heard) =>
      socket.addEventListener('message', (event) => {
        if (String(event.data).includes('"id":0')) heard(String(event.data));
      }),
    );
    const choice = { kind: 'serial', path: chosen, shape: 'comma-headed', line: '9600 8N1' };
    socket.send(JSON.stringify({ id: 0, name: 'balance.choose', input: choice }));
    const said = await answer;
    socket.close();
    return said;
  }, path);
  if (!reply.includes('"ok":true')) throw new Error(`The port was not taken: ${reply}`);
}

/** Waits for a state of the page while the lines go on. */
async function until(sender: Sender, done: () => Promise<boolean>, what: string): Promise<void> {
  for (let n = 0; n < 200; n += 1) {
    if (await done()) return;
    await sender.rest(2);
  }
  throw new Error(`The window did not come to this: ${what}`);
}

const shows = (page: Page, label: string) => async (): Promise<boolean> =>
  page.getByRole('button', { name: label, exact: false }).and(page.locator(':enabled')).isVisible();

/** Pours lines of the batch until so many figures were sent. */
async function pour(page: Page, sender: Sender, lines: number): Promise<number> {
  let captured = 0;
  await until(sender, shows(page, 'Take the vessel'), 'the vessel can be taken');
  await page.keyboard.press('Space');
  while (sender.sent.length < lines) {
    await until(sender, shows(page, 'Right bottle in hand'), 'a bottle is asked for');
    /* Its key takes the bottle whether cautions stand before it or not. */
    await page.getByRole('button', { name: 'Right bottle in hand' }).click();
    await until(sender, shows(page, 'Settle'), 'a line is poured');
    const target = await page.evaluate(() => {
      const cells = [...document.querySelectorAll('.ledger div')];
      return cells.find((one) => one.querySelector('dt')?.textContent === 'target')?.querySelector('dd')
        ?.textContent;
    });
    await sender.rampTo(Number((sender.gross + Number.parseFloat(target ?? '')).toFixed(2)));
    await sender.rest(REST);
    captured += 1;
  }
  return captured;
}

const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;

function told(name: string, all: readonly number[]): string {
  const sorted = [...all].sort((a, b) => a - b);
  const at = (share: number) => quantile(sorted, share).toFixed(1);
  return `${name}: median ${at(0.5)} ms, 99th percentile ${at(0.99)} ms, longest ${at(1)} ms (bars ${BARS.median} and ${BARS.p99} ms)`;
}

async function measure(open: OpenWindow, port: ServedPort, lines: number, stalls: readonly Stall[]) {
  const { page } = open;
  const sender = new Sender(port);
  await choosePort(page, port.path);
  await page.getByRole('link', { name: 'Pour', exact: true }).click();
  await page.getByLabel(FORMULA).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
  await page.evaluate(watchFigure);
  await sender.send(VESSEL_G);
  const load = loadavg()[0] ?? 0;
  const captured = await pour(page, sender, lines);
  await sender.rest(20);
  const { offset, error } = await clockOffset(page);
  const stamps = await page.evaluate(() => Reflect.get(window, 'stamps') as Stamp[]);
  const seen = new Map(stamps.map((one) => [one.figure, one]));
  const both = sender.sent.flatMap(({ figure, at }) => {
    const stamp = seen.get(figure);
    return stamp === undefined
      ? []
      : [{ at, shown: stamp.shown - offset - at, frame: stamp.frame - offset - at }];
  });
  console.log(
    `${sender.sent.length} figures at 20 lines a second, ${captured} lines of a batch poured and recorded`,
  );
  console.log(`never shown, since the next one came before: ${sender.sent.length - both.length}`);
  console.log(
    `clocks ${offset.toFixed(2)} ms apart, known to ${error.toFixed(2)} ms; load of the machine ${load.toFixed(1)}`,
  );
  console.log(
    told(
      'bytes at the port to the figure in the document',
      both.map((one) => one.shown),
    ),
  );
  console.log(
    told(
      'and to the frame that draws it',
      both.map((one) => one.frame),
    ),
  );
  // A line is among these if nothing held an idle process up from 100 ms before it until it was drawn.
  const calm = both.filter(
    ({ at, frame }) => !stalls.some(({ from, to }) => from < at + frame && to > at - 100),
  );
  console.log(`while an idle process was never woken more than 5 ms late: ${calm.length} of these figures`);
  if (calm.length === 0) return;
  console.log(
    told(
      'in the document',
      calm.map((one) => one.shown),
    ),
  );
  console.log(
    told(
      'and drawn',
      calm.map((one) => one.frame),
    ),
  );
}

const folder = mkdtempSync(join(tmpdir(), 'pourwright-latency-'));
if (isStale()) await buildAll();
const instrument = new Instrument({ streams: false });
const port = await servePty(instrument);
const open = await openWindow('loopback', { data: folder });
const machine = watchMachine();
try {
  await measure(open, port, Number(process.argv[2] ?? '240'), machine.stalls);
} finally {
  machine.child.kill();
  await open.close();
  instrument.stop();
  await port.close();
  rmSync(folder, { recursive: true, force: true });
}
