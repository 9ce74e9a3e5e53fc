import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles, leastWriting } from './access.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

const SHEETS = resolve(import.meta.dirname, '../../fixtures/spreadsheets');
let data: string;
let open: LoopbackWindow;
let page: Page;

/** A workshop of its own, empty at first. */
const place = (name: string) => ({ data: join(data, name), demo: false });

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-first-'));
  open = await openLoopback(place('lists'));
  page = open.page;
  page.setDefaultTimeout(15_000);
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const ways = () => page.getByRole('heading', { name: 'An empty workshop' });

const main = () => page.getByRole('main');
const take = () => main().getByRole('button', { name: 'Bring it in' });
const goTo = (item: string) =>
  page.evaluate((hash) => {
    location.hash = hash;
  }, `#organ/${item}`);
const shelved = (name: string) => main().getByText(name, { exact: true }).first();

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
});

describe('a list that is brought in', () => {
  it('is pasted with a wrong row, which is mended in its place, and stands on the shelves', async () => {
    await page
      .getByLabel('Paste from a spreadsheet')
      .fill(
        'Name\tCode\tStock\tStrength\nSpruce oil\tSP-1\t12,5\t\nLarch oil\tLR-1\t12 ml\t\nSpruce oil\tSP-1-10\t8,0\t9,6 %\n',
      );
    await page.getByRole('button', { name: 'Read what is pasted' }).click();
    await main().getByText('"12 ml" counts in ml, which is no unit of mass.').waitFor();
    expect(await take().isDisabled()).toBe(true);
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
    await main().getByLabel('row 3, Stock').fill('12,0');
    await main().getByLabel('row 3, Stock').press('Enter');
    await main().getByText('The solvent of the dilution is not told.').waitFor();
    await page.getByLabel('Dilutions without a solvent are in').selectOption('ethanol');
    await main().getByText('3 materials new.').waitFor();
    await take().click();
    await main().getByText('3 materials brought in. 3 bottles brought in.').waitFor();
    await main().getByRole('link', { name: 'To the shelves' }).click();
    await shelved('Larch oil').waitFor();
    await main().getByText('SP-1-10').first().waitFor();
  });

  it('is an ugly CSV file, seen before it is taken, with columns taken otherwise', async () => {
    await goTo('bring-in');
    await page.getByLabel('or open a CSV file').setInputFiles(join(SHEETS, 'semicolon-comma-bom.csv'));
    await main().getByText('UTF-8, by the mark at its beginning').waitFor();
    await main().getByText('row 8: a total of other rows').waitFor();
    expect(await page.getByLabel('Decimal sign').inputValue()).toBe('comma');
    await page.getByLabel('Note is', { exact: true }).selectOption('');
    await expect.poll(() => page.getByLabel('Note is', { exact: true }).inputValue()).toBe('');
    await page.getByLabel('Note is', { exact: true }).selectOption('note');
    await page.getByLabel('Preis (€/kg) counts in').selectOption('100 g');
    await expect.poll(() => page.getByLabel('Preis (€/kg) counts in').inputValue()).toBe('100 g');
    await take().click();
    await main().getByText('3 bottles brought in.').waitFor();
  });

  it('is a formula whose shares are more than the whole, told and taken as parts', async () => {
    await page.getByLabel('It holds').selectOption('formula');
    await page.getByLabel('Name of the formula').fill('March trial');
    await page.getByLabel('or open a CSV file').setInputFiles(join(SHEETS, 'formula-104.csv'));
    await main().getByText('The shares add up to 104 %, not to 100 %.').waitFor();
    expect(await take().isDisabled()).toBe(true);
    await page.getByLabel('Shares are parts of their sum').check();
    await take().click();
    await main().getByRole('link', { name: 'To the formula' }).click();
    await main().getByRole('heading', { name: 'March trial' }).waitFor();
  });

  it('keeps all of it over a restart', async () => {
    expect(await open.again()).toBe(0);
    await goTo('');
    await shelved('Larch oil').waitFor();
    await shelved('Lärchenharz').waitFor();
    await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Formulas' }).click();
    await main().getByText('March trial').first().waitFor();
  });

  it('that is no list is refused at its place, with what to do', async () => {
    await goTo('bring-in');
    await page.getByLabel('or open a CSV file').setInputFiles({
      name: 'list.xlsx',
      mimeType: 'application/zip',
      buffer: Buffer.from('PK\u0003\u0004xx'),
    });
    await main().getByText('Save the sheet as CSV, or copy its cells and paste them here.').waitFor();
  });
});

describe('the demo workshop', () => {
  it('is loaded into an empty one with the simulated balance, ready to pour, by the keyboard alone', async () => {
    expect(await open.again(place('demo'))).toBe(0);
    await tab('Organ');
    // The leaf takes the focus once its screen has come.
    await page.getByRole('main', { name: 'Organ' }).and(page.locator(':focus')).waitFor();
    await page.getByRole('button', { name: 'Try the demo workshop' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('radio', { name: /Hedge bank, trial 4/ }).check();
    await page.getByRole('button', { name: 'Start the batch' }).click();
    await page.getByRole('button', { name: 'Vessel on' }).waitFor();
  });

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
    expect(await open.again(place('demo'))).toBe(0);
    await ways().waitFor();
    await tab('Records');
    await page.getByText('No batch has been poured yet.').waitFor();
  });
});
