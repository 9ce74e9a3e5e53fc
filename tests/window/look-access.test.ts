import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles, leastWriting } from './access.ts';
import { takeBottle } from './hand.ts';
import { type OpenWindow, openWindow } from './open.ts';

let data: string;
let open: OpenWindow;
let page: Page;

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-access-'));
  open = await openWindow('loopback', { data });
  page = open.page;
});

afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const againstBothSheets = () => accessTroubles(page);

const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const word = (text: string | RegExp) => page.locator('.face-word').getByText(text).waitFor();

describe('the look of every screen', () => {
  it('has nothing against Organ, Formulas and Records', async () => {
    await tab('Organ');
    await page.getByRole('heading', { name: 'Lavender oil' }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await tab('Formulas');
    await page.getByRole('cell', { name: 'q.s.' }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await tab('Records');
    await page.getByText('No batch has been poured yet.').waitFor();
    expect(await againstBothSheets()).toEqual([]);
  });

  it('has nothing against Balance, whichever is chosen', async () => {
    await tab('Balance');
    await page.getByLabel('Balance on a serial port').check();
    await page.getByLabel('Shape of its lines').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.getByLabel('USB scale').check();
    await page.getByRole('button', { name: 'Look for USB scales' }).click();
    await page.getByText(/No USB scale is found|USB scales cannot be read here/).waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await press('Find my balance');
    await page.getByText('No balance was found.').waitFor({ timeout: 60_000 });
    expect(await againstBothSheets()).toEqual([]);
    await page.getByLabel('Typed by hand').check();
    await press('Use this balance');
    await page.getByLabel('Figure on the display').fill('5o');
    await page.keyboard.press('Enter');
    await page.getByText('"5o" has the unit').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.getByLabel('Simulated balance').first().check();
    await press('Use this balance');
    await page.getByRole('main').getByText('settled', { exact: true }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
  });

  it('has nothing against the likings of the window', async () => {
    await press('Sheet');
    await page.getByLabel('taller, for gloved hands').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.press('Escape');
  });

  it('has nothing against Pour before a batch, nor against a size that cannot be planned', async () => {
    await tab('Pour');
    await page.getByLabel('Vetiver, dilution 10 %').check();
    await page.getByRole('row', { name: /Vetiver/ }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.getByLabel('Batch size, g').fill('much');
    await page.getByText('This batch size is not a mass.').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.getByLabel('Batch size, g').fill('6');
  });

  it('has nothing against the bench: vessel, bottle, hollow, over, its reason and its choices', async () => {
    await press('Start the batch');
    await press('Vessel on');
    await word('settled');
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.press('Space');
    await word('fetch the bottle');
    expect(await againstBothSheets()).toEqual([]);
    await takeBottle(page);
    await page.locator('.big[data-drawn=hollow]').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.down('f');
    await word('past the window');
    await page.keyboard.up('f');
    await page.getByRole('region', { name: 'How to go on' }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.press('v');
    await page.getByRole('dialog').waitFor();
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  });

  it('has nothing against a batch abandoned and its record', async () => {
    await page.getByRole('region', { name: 'How to go on' }).waitFor();
    await page.keyboard.press('3');
    await word('fetch the bottle');
    await page.keyboard.press('a');
    await page.getByLabel('Reason, for the record').fill('only to look at it');
    await page.keyboard.press('Enter');
    await word('abandoned');
    expect(await againstBothSheets()).toEqual([]);
    await page.keyboard.press('Space');
    await page.getByRole('heading', { name: 'Events' }).waitFor();
    expect(await againstBothSheets()).toEqual([]);
  });

  it('shows nothing on the bench under 13 px, no button under 52 px and no action under 64 px; more for gloved hands', async () => {
    await tab('Pour');
    await page.getByRole('main', { name: 'Pour' }).waitFor();
    const least = await leastWriting(page);
    expect(least).toBeGreaterThanOrEqual(13);
    const lowest = (which: string) =>
      page.evaluate(
        (all) =>
          Math.min(...[...document.querySelectorAll(all)].map((one) => one.getBoundingClientRect().height)),
        which,
      );
    expect(await lowest('main button')).toBeGreaterThanOrEqual(52);
    expect(await lowest('.bench > .bar button')).toBeGreaterThanOrEqual(64);
    await press('Sheet');
    await page.getByLabel('taller, for gloved hands').check();
    await page.keyboard.press('Escape');
    expect(await lowest('main button')).toBeGreaterThanOrEqual(64);
    expect(await lowest('.bench > .bar button')).toBeGreaterThanOrEqual(76);
  });

  it('remembers the sheet and the buttons', async () => {
    await press('Sheet');
    await page.getByLabel('dark', { exact: true }).check();
    await page.emulateMedia({ colorScheme: 'light' });
    await page.reload();
    await page.getByRole('heading', { level: 1 }).waitFor();
    const ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    expect(ground).toBe('rgb(20, 24, 27)');
    expect(await page.evaluate(() => document.documentElement.dataset.buttons)).toBe('glove');
  });
});
