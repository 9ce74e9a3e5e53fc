import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles, leastWriting } from './access.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

let data: string;
let open: LoopbackWindow;
let page: Page;

async function start(): Promise<void> {
  open = await openLoopback({ data, demo: false });
  page = open.page;
  page.setDefaultTimeout(15_000);
}

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-first-'));
  await start();
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const ways = () => page.getByRole('heading', { name: 'An empty workshop' });

describe('the first start', () => {
  it('shows three ways on in place of Pour, Organ and Formulas, and nothing against their look', async () => {
    for (const name of ['Pour', 'Organ', 'Formulas']) {
      await tab(name);
      await ways().waitFor();
    }
    await tab('Records');
    await page.getByText('No batch has been poured yet.').waitFor();
    expect(await ways().count()).toBe(0);
    await tab('Pour');
    await ways().waitFor();
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
  });

  it('leads to the balance and to bringing in a list', async () => {
    await page.getByRole('link', { name: 'Connect a balance' }).click();
    await page.getByRole('heading', { name: 'Balance', exact: true }).waitFor();
    await tab('Pour');
    await page.getByRole('link', { name: 'Bring in a list' }).click();
    await expect.poll(() => new URL(page.url()).hash).toBe('#organ/bring-in');
    await ways().waitFor({ state: 'detached' });
  });

  it('leads to the demo with the simulated balance, ready to pour, by the keyboard alone', async () => {
    await tab('Organ');
    // The leaf takes the focus once its screen has come.
    await page.getByRole('main', { name: 'Organ' }).and(page.locator(':focus')).waitFor();
    await page.getByRole('button', { name: 'Try the demo workshop' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('radio', { name: /Hedge bank, trial 4/ }).check();
    await page.getByRole('button', { name: 'Start the batch' }).click();
    await page.getByRole('button', { name: 'Vessel on' }).waitFor();
  });
});

describe('the demo workshop', () => {
  it('says on its Organ what it is, and gives way to an empty one at the next start', async () => {
    await tab('Organ');
    const line = page.getByRole('complementary', { name: 'Demo workshop' });
    await line.getByText('everything on these shelves is invented').waitFor();
    await line.getByRole('button', { name: 'Start empty next time' }).click();
    await line.getByText('At the next start an empty workshop opens').waitFor();
    expect(await accessTroubles(page)).toEqual([]);
    await line.getByRole('button', { name: 'Stay with the demo' }).click();
    await line.getByText('everything on these shelves is invented').waitFor();
    await line.getByRole('button', { name: 'Start empty next time' }).click();
    await line.getByRole('button', { name: 'Stay with the demo' }).waitFor();
    expect(await open.again()).toBe(0);
    await ways().waitFor();
    await tab('Records');
    await page.getByText('No batch has been poured yet.').waitFor();
  });
});
