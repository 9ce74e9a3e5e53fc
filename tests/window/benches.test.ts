import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import axe, { type AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { tryPort } from '../../drivers/link/serial.ts';
import { served } from '../wire/pan.ts';
import { openWindow } from './open.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-benches-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const tab = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();

async function choosePort(page: Page, path: string): Promise<void> {
  await page.getByLabel('Balance on a serial port').check();
  await page.getByLabel('or another path').fill(path);
  await page.getByRole('button', { name: 'Use this balance' }).click();
}

const reads = (page: Page, figure: string) =>
  page.getByRole('region', { name: 'The balance now' }).getByText(figure).waitFor({ timeout: 10_000 });

/** What axe holds against the page as it is now. */
async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const results = (await page.evaluate(() =>
    (window as unknown as { axe: typeof axe }).axe.run(),
  )) as AxeResults;
  return results.violations.flatMap((one) => one.nodes.map((node) => `${one.id}: ${node.html}`));
}

describe('two balances at one machine', () => {
  it('are two benches: each its own figure and its own batch, and the window stays at its bench over a reload', async () => {
    const one = await served(onTestFinished, { shape: 'comma-headed' });
    const two = await served(onTestFinished, { shape: 'two-headed', seed: 2 });
    one.instrument.controls.putVessel(40);
    two.instrument.controls.putVessel(60);
    const window = await openWindow('loopback', { data: join(folder, 'data') });
    onTestFinished(async () => void (await window.close()));
    const { page } = window;
    await tab(page, 'Balance');
    await choosePort(page, one.port.path);
    await reads(page, '40.00 g');
    await page.getByRole('button', { name: 'Set up another bench' }).click();
    await page.getByText('no balance chosen').first().waitFor();
    await choosePort(page, two.port.path);
    await reads(page, '60.00 g');
    expect(await violations(page)).toEqual([]);

    await tab(page, 'Pour');
    await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
    await page.getByRole('button', { name: 'Start the batch' }).click();
    await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
    expect(await page.locator('.face .big').textContent()).toBe('60.00');

    await page.getByRole('radio', { name: 'Bench 1' }).check();
    await page.getByRole('button', { name: 'Start the batch' }).waitFor();
    await page.getByRole('row', { name: /Vetiver/ }).waitFor();
    const beside = page.getByRole('navigation', { name: 'Benches' }).locator('label').nth(1);
    await beside.getByText('60.00').waitFor();
    two.instrument.controls.putVessel(72);
    await beside.getByText('72.00').waitFor();
    await beside.getByText('g on the balance').waitFor();
    expect(await page.getByText('Take up again').count()).toBe(0);
    await tab(page, 'Balance');
    await reads(page, '40.00 g');
    one.instrument.controls.addDrop(1);
    await reads(page, '41.00 g');

    await page.reload();
    await reads(page, '41.00 g');
    await page.getByRole('radio', { name: /Bench 2, Vetiver/ }).check();
    await tab(page, 'Pour');
    await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
    expect(await violations(page)).toEqual([]);
    expect(await window.close()).toBe(0);
    await tryPort(one.port.path, '9600 8N1');
    await tryPort(two.port.path, '9600 8N1');
  });
});
