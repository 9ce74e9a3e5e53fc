import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles } from './access.ts';
import { type OpenWindow, openWindow } from './open.ts';
import { eventsStored } from './stored.ts';

let folder: string;
let open: OpenWindow;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-sheet-'));
  open = await openWindow('loopback', { data: join(folder, 'data') });
  page = open.page;
  page.setDefaultTimeout(15_000);
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const line = (name: RegExp) => page.getByRole('group', { name });
const store = () => page.getByRole('button', { name: 'Store as a record' });
/** What is wrong right under a field. */
const wrongUnder = (field: ReturnType<Page['getByLabel']>) =>
  field.evaluate((one) => {
    const told = one.getAttribute('aria-describedby');
    return one.getAttribute('aria-invalid') === 'true' && told !== null
      ? document.getElementById(told)?.textContent
      : null;
  });

describe('a pour by hand', () => {
  it('begins at the plan: a sheet that is printed by the browser from the page itself, and nothing else on the paper', async () => {
    await page.getByRole('link', { name: 'Pour', exact: true }).click();
    await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
    await page.getByLabel('Batch size, g').fill('10');
    await page.getByText('2 lines, 10 g in all').waitFor();
    await page.getByRole('button', { name: 'Print a pour sheet' }).click();
    const sheet = page.getByRole('article', { name: 'Pour sheet' });
    await sheet.getByText('Vetiver, dilution 10 %, 10 g').waitFor();
    expect(await sheet.getByRole('row').count()).toBe(3);
    await page.evaluate(() => {
      window.print = () => document.body.setAttribute('data-printed', 'yes');
    });
    await page.getByRole('button', { name: 'Print', exact: true }).click();
    expect(await page.locator('body').getAttribute('data-printed')).toBe('yes');
    await page.emulateMedia({ media: 'print' });
    expect(await page.getByRole('navigation').count()).toBe(0);
    expect(await page.getByRole('button').count()).toBe(0);
    expect(await sheet.isVisible()).toBe(true);
    await page.emulateMedia({ media: 'screen' });
    expect(await accessTroubles(page)).toEqual([]);
  });

  it('is kept as a file, a page of its own', async () => {
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a file' }).click(),
    ]);
    const path = join(folder, 'sheet.html');
    await file.saveAs(path);
    expect(file.suggestedFilename()).toBe('pour-sheet-vetiver-dilution-10.html');
    expect(readFileSync(path, 'utf8')).toContain('<td>VE-06</td>');
  });

  it('is typed in line by line: every figure that is none is told at its field, nothing is stored, nothing lost', async () => {
    await page.getByRole('link', { name: 'Type in a pour sheet' }).click();
    await line(/^Vetiver oil/).waitFor();
    expect(await page.getByLabel('Batch size, g').getAttribute('placeholder')).toBe('10');
    await page.getByLabel('Empty vessel, g').fill('fifty');
    await line(/^Vetiver oil/)
      .getByLabel('net, g')
      .fill('1.00');
    await line(/^Vetiver oil/)
      .getByLabel('before, g')
      .fill('50.00');
    await line(/^Ethanol/)
      .getByLabel('before, g')
      .fill('51.00');
    await store().click();
    await page.getByText('3 fields are wrong.').waitFor();
    expect(await wrongUnder(page.getByLabel('Empty vessel, g'))).toContain('"fifty" is not a mass');
    expect(await wrongUnder(line(/^Vetiver oil/).getByLabel('net, g'))).toContain('Either the net');
    expect(await wrongUnder(line(/^Ethanol/).getByLabel('after, g'))).toContain('no after');
    expect(await accessTroubles(page)).toEqual([]);
    await page.reload();
    await line(/^Vetiver oil/).waitFor();
    expect(
      await line(/^Vetiver oil/)
        .getByLabel('before, g')
        .inputValue(),
    ).toBe('50.00');
    expect(await page.getByLabel('Empty vessel, g').inputValue()).toBe('fifty');
  });

  it('that the rules of the pour refuse is told at its field, and stays over a reload', async () => {
    await page.getByLabel('Empty vessel, g').fill('50,00');
    await line(/^Vetiver oil/)
      .getByLabel('before, g')
      .fill('');
    await line(/^Ethanol/)
      .getByLabel('after, g')
      .fill('50.20');
    await page.keyboard.press('Enter');
    const after = line(/^Ethanol/).getByLabel('after, g');
    await expect.poll(() => wrongUnder(after)).toContain('50.20 g after is not more than 51 g before');
    await page.reload();
    await line(/^Ethanol/).waitFor();
    expect(await after.inputValue()).toBe('50.20');
  });

  it('put right, is stored whole; its record opens and says that it was typed in', async () => {
    await line(/^Ethanol/)
      .getByLabel('after, g')
      .fill('60.00');
    await page.getByLabel('Vessel and batch at the end, g').fill('60.01');
    await page.getByLabel('Poured by').fill('Ada');
    await store().click();
    await page.locator('.verified').waitFor();
    expect(page.url()).toMatch(/#records\/.+/);
    expect(await page.getByText('typed in from a sheet').count()).toBeGreaterThan(0);
    await page.getByRole('link', { name: 'Pour', exact: true }).click();
    await page.getByRole('button', { name: 'Type in a pour sheet' }).click();
    await line(/^Vetiver oil/).waitFor();
    expect(
      await line(/^Vetiver oil/)
        .getByLabel('net, g')
        .inputValue(),
    ).toBe('');
    expect(await open.close()).toBe(0);
    const types = eventsStored(folder).map((one) => one.type);
    expect(types.filter((type) => type === 'started')).toHaveLength(1);
    expect(types.at(-1)).toBe('closed');
  });
});
