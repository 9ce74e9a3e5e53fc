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

async function start(): Promise<void> {
  open = await openLoopback({ data, demo: false });
  page = open.page;
  page.setDefaultTimeout(15_000);
}
beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-bring-in-'));
  await start();
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const main = () => page.getByRole('main');
const take = () => main().getByRole('button', { name: 'Bring it in' });
const goTo = (item: string) =>
  page.evaluate((hash) => {
    location.hash = hash;
  }, `#organ/${item}`);
const shelved = (name: string) => main().getByText(name, { exact: true }).first();

describe('a list that is brought in', () => {
  it('is pasted with a wrong row, which is mended in its place, and stands on the shelves', async () => {
    await page.getByRole('link', { name: 'Bring in a list' }).click();
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
