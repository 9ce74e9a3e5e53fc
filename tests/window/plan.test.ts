import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles, leastWriting } from './access.ts';
import { type OpenWindow, openWindow } from './open.ts';

let data: string;
let open: OpenWindow;
let page: Page;

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-plan-'));
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
const entry = (term: string) =>
  main()
    .locator('dl > div')
    .filter({ has: page.getByText(term, { exact: true }) })
    .locator('dd');
const row = (title: string) => main().locator('.plan-lines tr').filter({ hasText: title }).first();
const target = (title: string) => main().getByRole('button', { name: `${title}: how it was got` });
const remedies = (title: string) => main().getByRole('list', { name: `Ways to weigh ${title} more surely` });
const order = () => main().locator('.plan-lines th[scope=row]').allTextContents();

async function planned(formula: string): Promise<void> {
  await tab('Pour');
  await main().getByRole('radio', { name: formula }).check();
  await page.getByRole('button', { name: 'Start the batch' }).isEnabled();
}

/** Waits until `read` gives what is expected, or fails with what it gave at last. */
async function becomes<T>(read: () => Promise<T>, wanted: T): Promise<void> {
  await expect.poll(read, { timeout: 5000, interval: 50 }).toEqual(wanted);
}

describe('the size of a batch, as a person chooses it', () => {
  it('is a mass in grams', async () => {
    await planned('Hedge bank, trial 4');
    await becomes(() => entry('in all').textContent(), '30.00 g');
    await page.getByLabel('Batch size, g').fill('12,5');
    await becomes(() => entry('in all').textContent(), '12.5 g');
    const costs = Number(await entry('cost').textContent());
    await page.getByLabel('Batch size, g').fill('25');
    await becomes(async () => Number(await entry('cost').textContent()) > 1.9 * costs, true);
  });

  it('is what fills a bottle, and says that it is estimated', async () => {
    await page.getByLabel('Batch by').selectOption({ label: 'the bottle it fills, in mL' });
    await page.getByText('The volume of the bottle is not told yet.').waitFor();
    expect(await page.getByRole('button', { name: 'Start the batch' }).isDisabled()).toBe(true);
    await page.getByLabel('Bottle, mL').fill('30');
    await main()
      .getByText(/^30 mL at an estimated/)
      .waitFor();
    const mass = Number.parseFloat((await entry('in all').textContent()) ?? '');
    expect(mass / 30).toBeGreaterThan(0.78);
    expect(mass / 30).toBeLessThan(0.95);
  });

  it('is what the shelf gives, or the least that is surely weighed', async () => {
    await page.getByLabel('Batch by').selectOption({ label: 'the lot that runs out first' });
    await main()
      .getByText(/runs out first, at [\d.]+ g\.$/)
      .waitFor();
    await page.getByLabel('Batch by').selectOption({ label: 'every line sure' });
    await main()
      .getByText(/^The smallest batch in which this balance weighs every line surely/)
      .waitFor();
    const words = await main().locator('.plan-lines tr > td > .sureness').allTextContents();
    expect(words).toHaveLength(7);
    expect(new Set(words)).toEqual(new Set(['sure']));
  });

  it('tells what is wrong with a field at that field, and what to do', async () => {
    await page.getByLabel('Batch by').selectOption({ label: 'the bottle it fills, in mL' });
    const bottle = page.getByLabel('Bottle, mL');
    await bottle.fill('0');
    await page.getByText('0 mL is not above 0.').waitFor();
    expect(await bottle.getAttribute('aria-invalid')).toBe('true');
    const told = page.locator(`#${await bottle.getAttribute('aria-describedby')}`);
    expect(await told.textContent()).toContain('Give the volume in mL.');
    await page.getByLabel('Batch by').selectOption({ label: 'mass, in g' });
    const vessel = page.getByLabel('Empty vessel, g');
    await vessel.fill('250');
    await page.getByText(/leaves no room on a balance of 200 g/).waitFor();
    expect(await vessel.getAttribute('aria-invalid')).toBe('true');
    await vessel.fill('60');
    await page.getByLabel('Batch size, g').fill('400');
    await page.getByText(/Pour it in 3 parts/).waitFor();
    await page.getByRole('button', { name: /^Plan one part of 133\.3\d g$/ }).click();
    await becomes(() => page.getByText(/Pour it in/).count(), 0);
    expect(await entry('in all').textContent()).toMatch(/^133\.3\d g$/);
    await vessel.fill('');
    await page.getByLabel('Batch size, g').fill('');
  });
});

describe('bottle and order', () => {
  it('are chosen by hand, and given back', async () => {
    await becomes(() => entry('in all').textContent(), '30.00 g');
    const bottle = page.getByLabel('Bottle for Vetiver oil 10.02 % in ethanol');
    await bottle.selectOption('VE-06');
    await row('Vetiver oil').getByText('0.12 g').waitFor();
    await page.getByRole('button', { name: 'Bottles as in the formula' }).click();
    await row('Vetiver oil').getByText('1.20 g').waitFor();
  });

  it('moves by keyboard, keeps the focus, and says what it costs', async () => {
    const before = await order();
    const first = before[0] ?? '';
    const later = main().getByRole('button', { name: `${first} later` });
    await later.focus();
    for (let at = 1; at < before.length; at += 1) {
      await page.keyboard.press('Enter');
      await becomes(async () => (await order()).indexOf(first), at);
    }
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label'));
    expect(await focused()).toBe(`${first} earlier`);
    const warned = main().getByRole('list', { name: 'Before you begin' });
    await warned.getByText(/in the order proposed/).waitFor();
    await page.getByRole('button', { name: 'Order as proposed' }).click();
    await becomes(order, before);
    expect(await warned.getByText(/in the order proposed/).count()).toBe(0);
  });
});

describe('a line that is blind', () => {
  it('is sure once its remedy is applied, on whichever screen it is then looked at', async () => {
    await planned('Cold window, trial 2');
    await row('cis-3-Hexenol').getByText('blind').waitFor();
    await remedies('cis-3-Hexenol')
      .getByRole('button', { name: /^Make 3340\sg/ })
      .click();
    await row('cis-3-Hexenol').getByText('sure', { exact: true }).waitFor();
    expect(await page.getByLabel('Batch size, g').inputValue()).toBe('3340');
    await tab('Formulas');
    await becomes(() => page.getByLabel('Batch size, g').inputValue(), '3340');
    await row('cis-3-Hexenol').getByText('sure', { exact: true }).waitFor();
    await page.getByLabel('Batch size, g').fill('');
    await row('cis-3-Hexenol').getByText('blind').waitFor();
    await tab('Pour');
    expect(await main().getByRole('radio', { name: 'Cold window, trial 2' }).isChecked()).toBe(true);
    await row('cis-3-Hexenol').getByText('blind').waitFor();
  });
});

describe('the workings of a target', () => {
  it('open and close by the keyboard', async () => {
    await target('Linalool').focus();
    await page.keyboard.press('Enter');
    await main().getByText('The formula asks for 4 % of Linalool: 10 g × 0.04 = 0.4 g neat.').waitFor();
    await main()
      .getByText(/^Standard uncertainty of the net: .*: coarse\.$/)
      .waitFor();
    expect(await target('Linalool').getAttribute('aria-expanded')).toBe('true');
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
    await page.keyboard.press('Space');
    await becomes(() => main().getByText('The formula asks for').count(), 0);
  });
});
