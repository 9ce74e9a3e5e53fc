import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { codeText } from '../../electron/host/documents/code-text.ts';
import { recordOf } from '../../electron/host/record-view.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { type OpenWindow, openWindow } from './open.ts';

let data: string;
let open: OpenWindow;
let page: Page;
let recordCode = '';

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-scan-'));
  const store = openStore(data);
  fillStore(store);
  recordCode = codeText({ batch: 'whole', hash: recordOf(store.journal, 'whole').head.hash });
  store.close();
  open = await openWindow('loopback', { data, demo: false });
  page = open.page;
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const at = async (hash: string): Promise<void> => {
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
  await expect.poll(address, { timeout: 20_000 }).toBe(hash);
};
const address = () => page.evaluate(() => location.hash);

/**
 * Characters as a scanner sends them, 6 ms apart by their stamps, in one task of the page: as the system stamps a key when
 * it is struck, however late the page hears of it. Into a field they are written as a keyboard writes.
 */
const scan = (code: string, end: readonly string[] = ['Enter']): Promise<void> =>
  page.evaluate(
    ({ keys, gap }) => {
      const began = performance.now();
      for (const [n, key] of keys.entries()) {
        const target = document.activeElement ?? document.body;
        const struck = (type: string) => {
          const event = new KeyboardEvent(type, { key, bubbles: true, cancelable: true });
          Object.defineProperty(event, 'timeStamp', { value: began + n * gap });
          return target.dispatchEvent(event);
        };
        if (struck('keydown') && key.length === 1 && target instanceof HTMLInputElement)
          document.execCommand('insertText', false, key);
        struck('keyup');
      }
    },
    { keys: [...code, ...end], gap: 6 },
  );

const LOT = '#organ/lot%3AR10';

describe('a scanned code, on any screen', () => {
  it.each(['#formulas', '#records', '#balance', '#organ'])('opens its lot from %s', async (from) => {
    await at(from);
    await page.getByRole('heading', { level: 1 }).first().waitFor();
    await scan('r10');
    await expect.poll(address, { timeout: 20_000 }).toBe(LOT);
  });

  it('opens its record, and says when that has gone on since', async () => {
    await at('#organ');
    await scan(recordCode);
    await expect.poll(address, { timeout: 20_000 }).toBe('#records/whole');
    await page.getByRole('heading', { level: 2, name: 'Rose and cedar' }).waitFor();
    await at('#organ');
    await scan(`${recordCode.slice(0, -1)}${recordCode.endsWith('0') ? '1' : '0'}`);
    await page.getByText('The record has gone on since this document was printed.').waitFor();
  });

  it('is told when it names nothing here, and opens nothing', async () => {
    await at('#formulas');
    await scan('NOTHING-7');
    await page.getByText('The code NOTHING-7 is of no lot and no record here.').waitFor();
    expect(await address()).toBe('#formulas');
  });

  it('leaves a field as it was, and submits nothing', async () => {
    await at('#records');
    const search = page.getByLabel('Search');
    await search.fill('rose');
    await search.focus();
    await scan('R10');
    await expect.poll(address, { timeout: 20_000 }).toBe(LOT);
    await at('#records');
    expect(await page.getByLabel('Search').inputValue()).toBe('rose');
  });

  it('stays in a field when it names nothing here, and enter does what it does there', async () => {
    await at('#records');
    const search = page.getByLabel('Search');
    await search.fill('');
    await search.focus();
    await scan('C50');
    await expect.poll(address, { timeout: 20_000 }).toBe('#organ/lot%3AC50');
    await at('#records');
    await page.getByLabel('Search').focus();
    await scan('cedar');
    await expect.poll(address, { timeout: 20_000 }).toMatch(/^#records\/(whole|torn)$/);
    expect(await page.getByLabel('Search').inputValue()).toBe('cedar');
  });

  it('goes into a field that asks for a code', async () => {
    await at('#records');
    const field = page.getByLabel('Lot', { exact: true });
    await field.fill('');
    await field.focus();
    await scan('C50', []);
    await page.keyboard.press('Enter');
    await page.getByRole('table', { name: 'Batches that hold C50' }).waitFor();
    expect(await address()).toBe('#records');
  });

  it('takes no key of a hand away', async () => {
    await at('#records');
    await page.getByRole('main').focus();
    await page.keyboard.press('/');
    await expect
      .poll(() => page.getByLabel('Search').evaluate((one) => one === document.activeElement), {
        timeout: 20_000,
      })
      .toBe(true);
  });
});
