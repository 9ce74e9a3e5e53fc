import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import type { InstrumentOptions } from '../../drivers/simulated/instrument.ts';
import { served } from '../wire/pan.ts';
import { glance } from './hand.ts';
import { type OpenWindow, openWindow } from './open.ts';

/** Balances that send nothing by themselves: what the window asks before it sends, and how they are poured on. */

let folder: string;
let window: OpenWindow;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-quiet-'));
  window = await openWindow('loopback', { data: join(folder, 'data') });
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
const until = (label: string) =>
  expect
    .poll(async () => (await glance(page)).actions.find((one) => one.label === label)?.enabled, {
      timeout: 15_000,
    })
    .toBe(true);

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

    await tab('Pour');
    await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
    await page.getByRole('button', { name: 'Start the batch' }).click();
    await until('Take the vessel');
    await page.keyboard.press('Space');
    await until('Right bottle in hand');
    await page.keyboard.press('Space');
    await page.getByText('g to go').waitFor();
    instrument.controls.addDrop(Number((await glance(page)).figure));
    await until('Right bottle in hand');
    expect(sent().replaceAll('SI\r\n', '')).toBe('');
    await page.getByRole('button', { name: 'Abandon the batch' }).click();
    await page.getByLabel(/reason/i).fill('tried');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Leave the bench' }).click();
  });
});
