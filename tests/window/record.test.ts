import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles, leastWriting } from './access.ts';
import { pourByHand } from './hand.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

let data: string;
let open: LoopbackWindow;
let page: Page;

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-record-'));
  open = await openLoopback({ data, pace: 3 });
  page = open.page;
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const main = () => page.getByRole('main');
const press = (name: string | RegExp) => main().getByRole('button', { name }).click();
const waits = () => main().getByRole('region', { name: 'What waits' });
const linalool = () => main().locator('.plan-lines tr').filter({ hasText: 'Linalool' }).first();
const entry = (term: string) =>
  main()
    .locator('dl > div')
    .filter({ has: page.getByText(term, { exact: true }) })
    .locator('dd');

async function makeFirst(): Promise<void> {
  await main().getByRole('radio', { name: 'Cold window, trial 2' }).check();
  await press(/^First make 5\sg of Linalool 20\s%/);
  await waits().getByText('then: Cold window, trial 2').waitFor();
}

describe('a dilution to make first', () => {
  it('waits on both screens, and is given up with the first plan back as it was', async () => {
    await tab('Pour');
    await makeFirst();
    expect(await main().getByRole('radio', { name: 'Linalool 20 %, dilution' }).isChecked()).toBe(true);
    await tab('Formulas');
    await waits().getByText('first: Linalool 20 %').waitFor();
    await press('Wait no longer');
    await main().getByRole('heading', { name: 'Cold window, trial 2' }).waitFor();
    await linalool().getByText('coarse').waitFor();
    expect(await waits().count()).toBe(0);
  });

  it('is still waited for after a restart', async () => {
    await tab('Pour');
    await makeFirst();
    expect(await open.again()).toBe(0);
    await waits().getByText('then: Cold window, trial 2').waitFor();
    expect(await main().getByRole('radio', { name: 'Linalool 20 %, dilution' }).isChecked()).toBe(true);
  });

  it('is poured, told with its uncertainty, and put on the shelf under a free code', async () => {
    await tab('Balance');
    await press('Use this balance');
    await main().getByText('settled', { exact: true }).waitFor();
    await tab('Pour');
    await press('Start the batch');
    await main().getByRole('button', { name: 'Take the vessel' }).waitFor();
    const did = await pourByHand(page, { spill: '', limit: 60_000, byDrops: true });
    expect(did.lines).toHaveLength(2);
    const inside = main().getByRole('table', { name: 'Lines' }).getByText('inside', { exact: true });
    await expect.poll(() => inside.count()).toBe(2);
    const shelf = main().getByRole('region', { name: 'As a lot on the shelf' });
    await shelf.getByLabel('Code').fill('LI-07');
    await press('Put it on the shelf');
    await shelf.getByText('A bottle has the code LI-07 already.').waitFor();
    expect(await shelf.getByLabel('Code').getAttribute('aria-invalid')).toBe('true');
    expect(await accessTroubles(page)).toEqual([]);
    await shelf.getByLabel('Code').fill('LI-07-20T');
    await page.keyboard.press('Enter');
    await shelf.getByText(/^On the shelf as LI-07-20T/).waitFor();
  });

  it('leads back to the first plan, solved again with the new lot', async () => {
    await press('Go on with Cold window, trial 2');
    await main().getByRole('button', { name: 'Start the batch' }).waitFor();
    expect(await main().getByRole('radio', { name: 'Cold window, trial 2' }).isChecked()).toBe(true);
    expect(await waits().count()).toBe(0);
    await linalool().getByText('sure', { exact: true }).waitFor();
    const bottle = linalool().getByRole('combobox');
    expect(await bottle.inputValue()).toBe('LI-07-20T');
    const strength = await bottle.locator('option:checked').textContent();
    expect(Number(/· ([\d.]+) %/.exec(strength ?? '')?.[1])).toBeCloseTo(20, 0);
    await press('Bottles as in the formula');
    await linalool().getByText('coarse').waitFor();
    await press(/^Pour [\d.]+\sg of Linalool 20\s% \(LI-07-20T\) instead/);
    await linalool().getByText('sure', { exact: true }).waitFor();
    await tab('Organ');
    await main().locator('.lot').filter({ hasText: 'LI-07-20T' }).first().waitFor();
  });
});

describe('the record of a batch', () => {
  it('tells strength with U and how both were got, lots, and estimates as estimates', async () => {
    await tab('Records');
    await page.getByRole('navigation', { name: 'Batches' }).getByRole('link').first().click();
    const made = entry('strength as made');
    expect(await made.textContent()).toMatch(/U ± 0\.\d+ % \(k = 2\)/);
    await made.getByRole('button').focus();
    await page.keyboard.press('Enter');
    await main()
      .getByText(/^U \(k = 2\) by the law of propagation/)
      .waitFor();
    await press(/^[\d.]+ % Linalool: how it was got$/);
    await main()
      .getByText(/g of Linalool \(LI-07\) × 1 =/)
      .waitFor();
    await main().getByText('What was poured is in the vessel').waitFor();
    for (const term of ['volume, estimated', 'ethanol, estimated', 'density, estimated'])
      expect(await entry(term).textContent()).toMatch(/^\d/);
    const lots = main().getByRole('table', { name: 'Lots used' });
    await lots.getByRole('row', { name: /LI-07 Linalool [\d.]+ g/ }).waitFor();
    await main().getByText('On the shelf as LI-07-20T').waitFor();
  });

  it('tells what a product would declare at a dose, and never that it is safe', async () => {
    const constituent = main()
      .getByRole('table', { name: /^Constituents/ })
      .getByRole('row', { name: /Linalool/ });
    await constituent.getByText('declare', { exact: true }).waitFor();
    const dose = main().getByLabel('Dose in it, %');
    await dose.fill('0.004');
    await constituent.getByText('below').waitFor();
    await main().getByLabel('The finished product is').selectOption('rinse-off');
    await main().getByText('Constituents, declared above 0.01 %').waitFor();
    await dose.fill('0.1');
    await constituent.getByText('declare', { exact: true }).waitFor();
    await dose.fill('150');
    await main().getByText('A dose of 150.00 % is not above 0 and at most 100 %.').waitFor();
    expect(await dose.getAttribute('aria-invalid')).toBe('true');
    await dose.fill('15');
    await main().getByText('this is not a safety assessment').waitFor();
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
  });
});
