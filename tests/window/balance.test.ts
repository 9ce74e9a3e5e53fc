import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { tryPort } from '../../drivers/link/serial.ts';
import type { Instrument, InstrumentOptions } from '../../drivers/simulated/instrument.ts';
import { servePty } from '../../drivers/simulated/pty.ts';
import { served } from '../wire/pan.ts';
import { glance, startDilution, takeBottle, untilAble } from './hand.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';
import { eventsStored } from './stored.ts';

/** One window for all of it: a balance of the test is listened at in less time, and the last of all in its own. */
let folder: string;
let open: LoopbackWindow;
let page: Page;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-balance-'));
  open = await openLoopback({ data: join(folder, 'data'), pace: 3 });
  ({ page } = open);
});
afterAll(async () => {
  await open.close();
  rmSync(folder, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();

/** The Balance screen with this path typed in. */
async function atPath(path: string): Promise<void> {
  await tab('Balance');
  await page.getByLabel('Balance on a serial port').check();
  await page.getByLabel('or another path').fill(path);
}

const findHere = () => page.getByRole('button', { name: 'Find settings and shape at this port' }).click();
const finding = () => page.getByRole('region', { name: 'Find my balance' });

/** A served balance with what was sent to it. */
async function watched(options: InstrumentOptions, line?: string) {
  const { instrument, port } = await served(onTestFinished, options, line);
  const sent: Buffer[] = [];
  const receive = instrument.receive.bind(instrument);
  instrument.receive = (bytes) => {
    sent.push(Buffer.from(bytes));
    receive(bytes);
  };
  return { instrument, port, sent };
}

describe('finding a balance at the window', () => {
  it('takes what it heard, sends nothing, and has it again after a restart', async () => {
    const { instrument, port, sent } = await watched({ shape: 'comma-headed' }, '2400 7E1');
    instrument.controls.putVessel(48.5);
    await atPath(port.path);
    await findHere();
    await finding().getByText(`Found at ${port.path}`).waitFor({ timeout: 10_000 });
    await finding().getByText('ST,+00012.34  g').waitFor();
    const reading = page.getByRole('region', { name: 'The balance now' });
    await reading.getByText('48.50 g').waitFor({ timeout: 5000 });
    await reading.getByText(/Remembered by its path/).waitFor();
    expect(sent).toEqual([]);
    expect(await open.again()).toBe(0);
    await tab('Balance');
    await reading.getByText('48.50 g').waitFor({ timeout: 5000 });
    expect(sent).toEqual([]);
  });

  it('asks for a touch where lines at rest fit several shapes, and decides from the next', async () => {
    const { instrument, port, sent } = await watched({ shape: 'ten-digits' });
    instrument.controls.putVessel(48.5);
    await expect.poll(() => instrument.display.stable, { timeout: 8000 }).toBe(true);
    await atPath(port.path);
    await findHere();
    await finding().getByText('Touch the pan lightly').waitFor({ timeout: 10_000 });
    instrument.controls.addDrop(0.5);
    await finding().getByText(`Found at ${port.path}`).waitFor({ timeout: 10_000 });
    await finding().getByText('ten characters of number').waitFor();
    expect(sent).toEqual([]);
  });

  it('asks for the unit where the lines carry none, and reads no mass before it is said', async () => {
    const { instrument, port } = await watched({ shape: 'framed-digits' });
    instrument.controls.putVessel(48.5);
    await atPath(port.path);
    await findHere();
    await finding().getByText('Its lines carry no unit.').waitFor({ timeout: 10_000 });
    const reading = page.getByRole('region', { name: 'The balance now' });
    await reading.getByText('say which unit the balance shows').waitFor({ timeout: 5000 });
    expect(await reading.locator('.big').textContent()).toBe('–');
    await finding().getByLabel('Unit on the display').selectOption('g');
    await finding().getByRole('button', { name: 'Use this unit' }).click();
    await reading.getByText('48.50 g').waitFor({ timeout: 5000 });
    expect(await finding().getByText('Its lines carry no unit.').count()).toBe(0);
  });

  it('explains a silent port, and says what is tried at a strange one until it is stopped', async () => {
    const { port } = await watched({ streams: false });
    await atPath(port.path);
    await findHere();
    await finding().getByText('No balance was found.').waitFor({ timeout: 10_000 });
    await finding().getByText('press Print once').waitFor();

    const strange = setInterval(() => port.write(Buffer.from('level 7 of 9\r\n')), 60);
    onTestFinished(() => clearInterval(strange));
    await findHere();
    await finding()
      .getByText(/Line settings 4800 8N1, 3 of \d+/)
      .waitFor({ timeout: 10_000 });
    await page.getByRole('button', { name: 'Stop listening' }).click();
    await finding().getByText('Stopped.').waitFor({ timeout: 5000 });
    await tryPort(port.path, '9600 8N1');
  });
});

describe('a USB scale at the window', () => {
  it('is looked for only when asked, and its absence is said plainly', async () => {
    await tab('Balance');
    await page.getByLabel('USB scale').check();
    await page.getByRole('button', { name: 'Look for USB scales' }).click();
    await page
      .getByText(
        /No USB scale is found\..*70-balance\.rules|USB scales cannot be read here: .*(Install|type the figures)/,
      )
      .waitFor();
    expect(await page.getByRole('button', { name: 'Use this balance' }).isDisabled()).toBe(true);
  });
});

describe('figures typed at the window', () => {
  const say = async (figure: string) => {
    await page.keyboard.type(figure);
    await page.keyboard.press('Enter');
  };

  it('pour a batch by keys alone; a bad figure says so; the record says typed', async () => {
    await tab('Balance');
    await page.getByLabel('Typed by hand').check();
    await page.getByRole('button', { name: 'Use this balance' }).click();
    await page.getByRole('heading', { name: 'Typed by hand' }).waitFor();
    await startDilution(page);
    await say('50.o0');
    await page.getByText('"50.o0" is not a figure of a display.').waitFor();
    expect(await page.getByLabel('Figure on the display').inputValue()).toBe('50.o0');
    await page.getByLabel('Figure on the display').fill('');
    await say('50,00');
    await untilAble(page, 'Take the vessel');
    await page.keyboard.press('Space');
    await takeBottle(page, 'PageDown');
    await page.getByText('g to go').waitFor();
    const first = Number((await glance(page)).figure);
    // What a choice would take by its digit belongs to the figure here: 9 g too much, then the slip put right.
    await say((50 + first + 9).toFixed(2));
    await page.getByRole('region', { name: 'How to go on' }).waitFor();
    await page.keyboard.type('1');
    expect(await page.getByLabel('Figure on the display').inputValue()).toBe('1');
    await page.keyboard.press('Backspace');
    await say((50 + first).toFixed(2));
    await takeBottle(page);
    await page.getByText('g to go').waitFor();
    const second = Number((await glance(page)).figure);
    await say((50 + first + second).toFixed(2));
    await page.getByText('Type what the display shows with vessel and batch').waitFor();
    await say((50 + first + second).toFixed(2));
    await untilAble(page, 'Close the batch');
    await page.keyboard.press('Space');
    await page.getByRole('button', { name: 'Open the record' }).waitFor();
    expect(await page.getByLabel('Figure on the display').count()).toBe(0);
    // The next is timed: it gets its own pace, and a folder of its own.
    expect(await open.again({ data: join(folder, 'second', 'data') })).toBe(0);
    const events = eventsStored(folder);
    expect(JSON.parse(events[0]?.body ?? '{}')).toMatchObject({ balance: { link: 'typed by hand' } });
    expect(events.map((one) => one.type)).not.toContain('correction-chosen');
    expect(events.at(-1)?.type).toBe('closed');
    for (const { type, body } of events)
      if (type === 'captured') expect(body).toContain('figure typed by hand');
  });
});

describe('a balance that is unplugged during a pour', () => {
  /** Time until what is waited for is on the screen, ms. */
  const within = async (wait: Promise<unknown>): Promise<number> => {
    const since = performance.now();
    await wait;
    return performance.now() - since;
  };

  async function firstBottle(instrument: Instrument): Promise<number> {
    await startDilution(page);
    instrument.controls.putVessel(48.5);
    await untilAble(page, 'Take the vessel');
    await page.keyboard.press('Space');
    await takeBottle(page);
    await page.getByText('g to go').waitFor();
    return Number((await glance(page)).figure);
  }

  it('is said within 2 s, goes on within 2 s of its return, and quitting frees the port', async () => {
    const { instrument, port } = await served(onTestFinished);
    const path = join(folder, 'port');
    symlinkSync(port.path, path);
    await atPath(path);
    await page.getByRole('button', { name: 'Use this balance' }).click();
    await page
      .getByRole('region', { name: 'The balance now' })
      .getByText('live')
      .waitFor({ timeout: 10_000 });
    const target = await firstBottle(instrument);
    instrument.controls.addDrop(target / 2);
    await page.waitForTimeout(300);
    unlinkSync(path);
    await port.close();
    const alert = page.getByRole('alert').getByText('Balance lost');
    const lost = await within(alert.waitFor({ timeout: 10_000 }));
    expect(lost).toBeLessThan(2000);
    expect((await glance(page)).figure).toBe('–');
    instrument.controls.addDrop(target / 2);
    await page.waitForTimeout(800);

    const again = await servePty(instrument);
    onTestFinished(() => again.close());
    symlinkSync(again.path, path);
    const back = await within(alert.waitFor({ state: 'hidden', timeout: 10_000 }));
    expect(back).toBeLessThan(2000);
    await untilAble(page, 'Right bottle in hand');
    expect(await open.close()).toBe(0);
    await tryPort(again.path, '9600 8N1');
    const types = eventsStored(join(folder, 'second')).map((one) => one.type);
    expect(types.slice(types.indexOf('pour-begun'))).toEqual([
      'pour-begun',
      'balance-lost',
      'balance-back',
      'captured',
    ]);
    console.info(`lost told after ${lost.toFixed(0)} ms, back after ${back.toFixed(0)} ms`);
  });
});
