import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { figureText } from '../../drivers/simulated/indicator.ts';
import type { Instrument, InstrumentOptions } from '../../drivers/simulated/instrument.ts';
import { served } from '../wire/pan.ts';
import { glance, startDilution, takeBottle, untilAble } from './hand.ts';
import { type OpenWindow, openLoopback } from './open.ts';
import { eventsStored } from './stored.ts';

/** Balances that send nothing by themselves: what the window asks before it sends, and how they are poured on. */

let folder: string;
let window: OpenWindow;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-quiet-'));
  window = await openLoopback({ data: join(folder, 'data'), pace: 3 });
  ({ page } = window);
});
afterAll(async () => {
  await window.close();
  rmSync(folder, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const finding = () => page.getByRole('region', { name: 'Find my balance' });
const reading = () => page.getByRole('region', { name: 'The balance now' });
async function abandon(): Promise<void> {
  await page.getByRole('button', { name: 'Abandon the batch' }).click();
  await page.getByLabel('Reason, for the record').fill('tried');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Leave the bench' }).click();
}

/** What its display shows. */
const shownBy = ({ display }: Instrument): string =>
  display.counts === null ? '' : figureText(display.counts, display.decimals);

/** A quiet balance, what was sent to it, and the window having listened at it in vain. */
async function listenedAt(options: InstrumentOptions, line?: string) {
  const { instrument, port } = await served(onTestFinished, { streams: false, ...options }, line);
  let sent = '';
  const receive = instrument.receive.bind(instrument);
  instrument.receive = (bytes) => {
    sent += Buffer.from(bytes).toString('latin1');
    receive(bytes);
  };
  await tab('Balance');
  await page.getByLabel('Balance on a serial port').check();
  await page.getByLabel('or another path').fill(port.path);
  await page.getByRole('button', { name: 'Find settings and shape at this port' }).click();
  await finding().getByText('No balance was found.').waitFor({ timeout: 10_000 });
  return { instrument, port, sent: () => sent };
}

describe('a balance that only answers', () => {
  it('is asked only on a yes, with the bytes that were named, then read and poured on by asking', async () => {
    const { instrument, sent } = await listenedAt({ shape: 'status-letter' });
    instrument.controls.putVessel(48.5);
    const question = finding().getByRole('region', { name: 'May Pourwright ask the balance' });
    const named = question.locator('.sent p');
    await expect.poll(() => named.count()).toBe(7);
    expect(await named.first().textContent()).toBe('S I CR LF at 9600 8N1, 2400 7E1, 4800 8N1');
    await question.getByText('Say no if its manual shows lines like').waitFor();
    await question.getByLabel('What its manual shows as a line').selectOption('sign-first');
    await expect.poll(() => named.allTextContents()).toEqual(['ESC P CR LF at 9600 8O1, 1200 7O1']);
    await question.getByLabel('What its manual shows as a line').selectOption('');
    await expect.poll(() => named.count()).toBe(7);
    expect(sent()).toBe('');

    await question.getByRole('button', { name: 'Yes, ask it' }).click();
    await finding().getByText('It only answers, so it is asked on and on.').waitFor({ timeout: 20_000 });
    await reading().getByText('48.50 g').waitFor({ timeout: 5000 });
    expect(sent().replaceAll('SI\r\n', '')).toBe('');

    await startDilution(page);
    await untilAble(page, 'Take the vessel');
    await page.keyboard.press('Space');
    await takeBottle(page);
    await page.getByText('g to go').waitFor();
    instrument.controls.addDrop(Number((await glance(page)).figure));
    await page.getByText('next bottle').waitFor();
    expect(sent().replaceAll('SI\r\n', '')).toBe('');
    await abandon();
  });
});

describe('a balance that sends on its print key', () => {
  it('is found while the key is pressed, and poured with, one figure a press; nothing is ever sent', async () => {
    const { instrument, sent } = await listenedAt({ shape: 'comma-headed', hears: false });
    const key = setInterval(() => instrument.press('print'), 250);
    onTestFinished(() => clearInterval(key));
    await finding().getByRole('button', { name: 'No: listen while I press Print' }).click();
    await finding().getByText('It sends when you press Print on it.').waitFor({ timeout: 15_000 });
    clearInterval(key);
    await reading().getByText('It sends one figure when you press Print').waitFor();

    await startDilution(page);
    await page.getByText('Let it rest, press Print on the balance').waitFor();
    instrument.controls.putVessel(48.5);
    const print = async (g: string) => {
      await expect.poll(() => Number(shownBy(instrument)).toFixed(2), { timeout: 8000 }).toBe(g);
      await expect.poll(() => instrument.display.stable, { timeout: 8000 }).toBe(true);
      instrument.press('print');
    };
    await print('48.50');
    await untilAble(page, 'Take the vessel');
    await page.keyboard.press('Space');
    await takeBottle(page);
    await page.getByText('g to go').waitFor();
    const first = Number((await glance(page)).figure);
    instrument.controls.addDrop(first);
    await print((48.5 + first).toFixed(2));
    await page.getByText('next bottle').waitFor();
    expect(sent()).toBe('');
    await abandon();
    await window.close();
    const rules = eventsStored(folder).flatMap(({ type, body }) =>
      type === 'captured' ? [String(JSON.parse(body).settled.rule)] : [],
    );
    expect(rules).toContain('figure sent by the print key');
  });
});
