import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadDemo } from '../../electron/host/exchange/first-run.ts';
import { limitsFor } from '../../electron/host/limits.ts';
import { draw } from '../../electron/host/planning.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { takeSheet } from '../../electron/host/typed-sheet.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type OpenWindow, openWindow } from './open.ts';

/** The batch that is closed before the window opens, poured from Cold window with a little much of its second line. */
const MADE = 'made-1';
const DIPPED_MINUTES_AGO = 20;

let data: string;
let open: OpenWindow;
let page: Page;

function pourBefore(folder: string): void {
  const store = openStore(folder);
  loadDemo(store, '2026-11-20T08:00:00.000Z');
  const place = { workshop: store.workshop.read(), limits: limitsFor(null), today: '2026-11-25' };
  const draft = { formula: 'cold-window-2', size: { by: 'mass' as const, g: '100' } };
  const { plan } = draw(draft, place);
  const lines = plan.steps.map((step, at) => ({
    line: step.line,
    net: (Number(step.target) * (at === 1 ? 1.02 : 1)).toFixed(2),
  }));
  const at = Date.now() - 2 * DIPPED_MINUTES_AGO * 60_000;
  takeSheet(store.journal, { draft, operator: 'Ada', lines }, place, { id: MADE, at });
  store.close();
}

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-formulas-'));
  pourBefore(data);
  open = await openWindow('loopback', { data });
  page = open.page;
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const main = () => page.getByRole('main');
const button = (name: string | RegExp) => main().getByRole('button', { name });
const leaf = (name: string | RegExp) =>
  main().locator('.formula .leaves').getByRole('link', { name }).click();
const material = (line: number) => page.getByLabel(`Material of line ${line}`);
const amount = (line: number) => page.getByLabel(`Amount of line ${line}`);
const totals = () => main().locator('.totals');
const reading = (text: string) => main().locator('.totals').getByText(text, { exact: true }).waitFor();

/** Waits until `read` gives what is expected, or fails with what it gave at last. */
async function becomes<T>(read: () => Promise<T>, wanted: T): Promise<void> {
  await expect.poll(read, { timeout: 8000, interval: 50 }).toEqual(wanted);
}
const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');

describe('a formula', () => {
  it('is written by keyboard, with an accord in it, and says at once what is too much', async () => {
    await tab('Formulas');
    await main().getByRole('link', { name: 'New formula' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Evening wall, trial 1');
    await material(1).fill('Geranium oil');
    await amount(1).fill('2,5');
    await amount(1).press('Enter');
    await becomes(focused, 'Material of line 2');
    await page.keyboard.type('Loft beam base, trial 2');
    await main().getByRole('cell', { name: 'accord, version 1' }).waitFor();
    await amount(2).fill('90');
    await amount(2).press('Enter');
    await becomes(focused, 'Material of line 3');
    await page.keyboard.type('Vetiver oil');
    await amount(3).fill('11.5');
    await page.getByLabel('Strength of line 3').fill('10');
    await reading('104 %');
    await totals().getByText('4 % too much').waitFor();
    await button('Save').click();
    await totals().getByText('Lower lines by 4 % of the batch in all.').waitFor();
    await amount(2).fill('20');
    await reading('34 %');
    await amount(3).press('Alt+ArrowUp');
    await becomes(() => material(2).inputValue(), 'Vetiver oil');
    await material(2).press('Alt+ArrowDown');
    await becomes(() => material(3).inputValue(), 'Vetiver oil');
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
  });

  it('tells what is wrong at its field, and keeps unsaved work over a reload and a look elsewhere', async () => {
    await button('Add a line').click();
    await becomes(focused, 'Material of line 4');
    await page.keyboard.type('Rosewater of the moon');
    await main().getByText('There is no material "Rosewater of the moon".').waitFor();
    await amount(4).fill('x');
    await main().getByText('"x" is no amount. Type a figure').waitFor();
    expect(await amount(4).getAttribute('aria-invalid')).toBe('true');
    await button('Save').click();
    await main().getByText('Nothing typed is lost.').waitFor();
    await tab('Organ');
    await page.reload();
    await tab('Formulas');
    await main().getByText('one is begun').waitFor();
    await main().getByRole('link', { name: 'New formula' }).click();
    await becomes(() => material(4).inputValue(), 'Rosewater of the moon');
    await becomes(() => amount(3).inputValue(), '11.5');
    await button('Take Rosewater of the moon out').click();
    await becomes(() => material(4).inputValue(), 'Ethanol');
    await button('Save').click();
    await main().getByRole('heading', { name: 'Evening wall, trial 1' }).waitFor();
  });

  it('shows its figures, its picture and its accords opened, and is planned from its materials', async () => {
    await main().getByRole('region', { name: 'Figures of the formula' }).getByText('cost of 100 g').waitFor();
    const notes = main().getByRole('table', { name: 'Notes, share of what is neat' });
    await notes.getByRole('row', { name: /^base/ }).waitFor();
    await button(/materials, accords opened$/).click();
    await main()
      .getByText(/^Loft beam base, trial 2, version 1, is 20 % of the whole/)
      .waitFor();
    const plan = main().locator('.plan-lines');
    await plan.getByRole('rowheader', { name: 'Geranium oil' }).waitFor();
    await plan.getByRole('rowheader', { name: /^Cedarwood oil/ }).waitFor();
    await button('Plan the smallest sure batch').click();
    await main()
      .getByText(/^The smallest batch in which this balance weighs every line surely/)
      .waitFor();
    await page.getByLabel('Batch by').selectOption({ label: 'mass, in g' });
  });

  it('once poured is version 1 for ever: what is saved after it is version 2, and both are compared', async () => {
    await tab('Balance');
    await button('Use this balance').click();
    await main().getByText('settled', { exact: true }).waitFor();
    await tab('Formulas');
    await main().getByRole('region', { name: 'Figures of the formula' }).waitFor();
    await main().locator('.plan-lines').waitFor();
    await button('Pour this plan').click();
    await button('Start the batch').click();
    await button('Take the vessel').waitFor();
    await button(/^Abandon/).click();
    await page.getByLabel('Reason, for the record').fill('only to begin it');
    await page.keyboard.press('Enter');
    await button('Leave the bench').click();
    await tab('Formulas');
    await main()
      .getByRole('link', { name: /^Evening wall/ })
      .click();
    await leaf('Write');
    await amount(1).fill('3');
    await page.getByLabel('Why this change (optional)').fill('more green');
    await button('Save').click();
    await main().getByText('version 2 · batch 30 g').waitFor();
    const geranium = main().locator('.plan-lines tr').filter({ hasText: 'Geranium oil' }).first();
    await geranium.getByText('0.90 g').waitFor();
    await leaf('Versions');
    const versions = main().getByRole('table', { name: 'Versions' });
    await versions.getByRole('row', { name: /^2 newest .* more green not poured/ }).waitFor();
    await versions.getByRole('row', { name: /^1 .* Evening wall, trial 1, .* abandoned/ }).waitFor();
    await button('Compare').click();
    const row = main()
      .getByRole('table', { name: /^Evening wall, trial 1, version 1 and/ })
      .getByRole('row', {
        name: /^Geranium oil/,
      });
    await becomes(
      () => row.locator('th, td').allTextContents(),
      ['Geranium oil', '± changed', '2.5 %', '3 %', '+0.5 %', '+0.15 g'],
    );
    await button('Look at 1').click();
    await main().getByRole('region', { name: 'Version 1' }).getByText('2.5 %').first().waitFor();
    await button('Make version 1 the newest again').click();
    await versions.getByRole('row', { name: /^3 newest .* version 1 again/ }).waitFor();
  });

  it('is found by its name and by what is in it', async () => {
    const find = page.getByLabel(/^Find a formula/);
    const list = () => main().getByRole('navigation', { name: 'Formulas' }).locator('b').allTextContents();
    await find.fill('evening');
    await becomes(list, ['Evening wall, trial 1']);
    await find.fill('cis-3-hexenol');
    await becomes(async () => (await list()).includes('Cold window, trial 2'), true);
    await find.fill('');
  });
});

describe('a closed batch', () => {
  it('is adopted as made: what differs is told first, and both know of each other', async () => {
    await tab('Records');
    await main()
      .getByRole('navigation', { name: 'Batches' })
      .getByRole('link', { name: /^Cold window/ })
      .click();
    const section = main().getByRole('region', { name: 'Its formula' });
    await section.getByRole('link', { name: 'Cold window, trial 2, version 1' }).waitFor();
    await section.getByRole('button', { name: 'Adopt as made' }).click();
    await section.getByRole('table', { name: 'What would change' }).getByText('± changed').first().waitFor();
    expect(await section.getByLabel('Why').inputValue()).toMatch(
      /^as made in batch Cold window, trial 2, 20/,
    );
    await section.getByRole('button', { name: 'Make it the next version' }).click();
    await section.getByRole('link', { name: 'it is version 2' }).click();
    await main().getByRole('heading', { name: 'Cold window, trial 2' }).waitFor();
    await main()
      .getByRole('row', { name: /^2 newest/ })
      .getByRole('link', { name: 'Cold window, trial 2' })
      .click();
    await section.getByText('Adopted as made').waitFor();
  });

  it('has blotters that remind, notes that stay, and a day on which it has matured, over a restart', async () => {
    const dip = main().getByRole('form', { name: 'Dip a blotter' });
    const then = new Date(Date.now() - DIPPED_MINUTES_AGO * 60_000);
    const local = new Date(then.getTime() - then.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
    await dip.getByLabel('Smelled after').fill('soon');
    await dip.getByRole('button', { name: 'A blotter is dipped' }).click();
    await dip.getByText('These times are not understood.').waitFor();
    await dip.getByLabel('Smelled after').fill('15 min, 1 h, 3 d');
    await dip.getByLabel('Dipped at').fill(local);
    await dip.getByLabel('On the blotter (optional)').fill('A');
    await dip.getByRole('button', { name: 'A blotter is dipped' }).click();
    const times = () => main().getByRole('table', { name: /^blotter A, dipped/ });
    await times()
      .getByRole('row', { name: /^after 15 min .* due/ })
      .waitFor();
    await times()
      .getByRole('row', { name: /^after 3 days .* waits/ })
      .waitFor();
    await page.getByLabel('Matured on').fill('2026-01-15');
    const records = () =>
      page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Records' });
    await records().getByRole('img', { name: '2 due' }).waitFor();

    expect(await open.close()).toBe(0);
    open = await openWindow('loopback', { data });
    page = open.page;
    await records().click();
    await main().getByRole('link', { name: 'Due (2)' }).click();
    const due = main().getByRole('table', { name: 'Now' });
    await due.getByRole('row', { name: /smell blotter A, 15 min after dipping/ }).waitFor();
    await due.getByRole('row', { name: /has matured/ }).waitFor();
    await due.getByRole('link', { name: 'Cold window, trial 2' }).first().click();
    await button('Note after 15 min').click();
    await page.getByLabel('Who', { exact: true }).fill('Ada');
    await button('Keep the note').click();
    await main().getByText('The note is empty.').waitFor();
    await page.getByLabel('What you smell, blotter A, after 15 min').fill('the green is gone, wet stone');
    await button('Keep the note').click();
    await main().getByText('the green is gone, wet stone').waitFor();
    await times()
      .getByRole('row', { name: /^after 15 min .* noted/ })
      .waitFor();
    await records().getByRole('img', { name: '1 due' }).waitFor();
    expect(await accessTroubles(page)).toEqual([]);
    await main().getByRole('link', { name: 'Cold window, trial 2, version 1' }).click();
    await main().getByRole('table', { name: 'Versions' }).waitFor();
    await leaf('Trials');
    await main().getByText('the green is gone, wet stone').waitFor();
    await main().getByText('blotter A, after 15 min · Ada').waitFor();
  });
});
