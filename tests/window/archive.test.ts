import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

let folder: string;
let open: LoopbackWindow | null = null;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-archive-'));
});
afterEach(async () => {
  await open?.close();
  rmSync(folder, { recursive: true, force: true });
});

const place = (name: string) => ({ data: join(folder, name), demo: false });

const goTo = (page: Page, hash: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, hash);

describe('an archive of a workshop', () => {
  it('goes out of one program and into another, before it what was handed out as JSON: shelves, formulas and records are there after a restart', async () => {
    const store = openStore(join(folder, 'there'));
    fillStore(store);
    store.close();
    open = await openLoopback(place('there'));
    const { page } = open;
    page.setDefaultTimeout(20_000);
    await goTo(page, '#organ/hand-out');
    expect(await accessTroubles(page)).toEqual([]);
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Workshop, archive' }).click();
    const archive = join(folder, 'workshop.zip');
    await (await coming).saveAs(archive);
    await page.getByText(/Handed to the browser as workshop-/).waitFor();
    const json = { organ: join(folder, 'organ.json'), formulas: join(folder, 'formulas.json') };
    for (const [what, path] of Object.entries(json)) {
      const given = page.waitForEvent('download');
      await page.getByRole('button', { name: `${what === 'organ' ? 'Organ' : 'Formulas'}, JSON` }).click();
      await (await given).saveAs(path);
    }
    expect(await open.again(place('here'))).toBe(0);

    await page.getByRole('link', { name: 'Bring in a list' }).click();
    await page.getByLabel('Open an archive').setInputFiles(json.formulas);
    await page.getByText(/cannot be made here: there is no material/).waitFor();
    await page.getByLabel('Open an archive').setInputFiles(json.organ);
    await page.getByText('Materials: 5 new. Bottles: 3 new.').waitFor();
    await page.getByRole('button', { name: 'Take the file in' }).click();
    await page.getByText('5 materials, 3 bottles taken from the file.').waitFor();
    await page.getByLabel('Open an archive').setInputFiles(json.formulas);
    await page.getByRole('button', { name: 'Take the file in' }).click();
    await page.getByText('1 formula taken from the file.').waitFor();

    const broken = join(folder, 'broken.zip');
    writeFileSync(broken, readFileSync(archive).subarray(0, 900));
    await page.getByLabel('Open an archive').setInputFiles(broken);
    await page.getByText('Nothing was taken. Ask for the archive again, or hand it out anew.').waitFor();
    await page.getByLabel('Open an archive').setInputFiles(archive);
    await page.getByText('Batches: 1 new.').waitFor();
    expect(await accessTroubles(page)).toEqual([]);
    await page.getByRole('button', { name: 'Take the archive in' }).click();
    await page.getByText(/1 batch.* taken from the archive/).waitFor();
    expect(await open.again(place('here'))).toBe(0);

    await goTo(page, '#records/whole');
    await page.locator('.verified').first().waitFor();
    expect(await page.locator('.verified.failed').count()).toBe(0);
    await goTo(page, '#organ/bring-in');
    await page.getByLabel('Open an archive').setInputFiles(archive);
    await page.getByText('Batches: 1 the same.').waitFor();
    await page.getByRole('button', { name: 'Take the archive in' }).click();
    await page.getByText('Everything in the archive is here already; nothing was changed.').waitFor();
  });
});
