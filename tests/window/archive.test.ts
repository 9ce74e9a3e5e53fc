import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type OpenWindow, openWindow } from './open.ts';

let folder: string;
const running: OpenWindow[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-archive-'));
});
afterEach(async () => {
  for (const one of running.splice(0)) await one.close();
  rmSync(folder, { recursive: true, force: true });
});

async function start(name: string): Promise<Page> {
  const open = await openWindow('loopback', { data: join(folder, name), demo: false });
  running.push(open);
  open.page.setDefaultTimeout(20_000);
  return open.page;
}
async function stop(): Promise<void> {
  for (const one of running.splice(0)) expect(await one.close()).toBe(0);
}
const goTo = (page: Page, hash: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, hash);

describe('an archive of a workshop', () => {
  it('goes out of one program and into another: shelves, formulas and records are there after a restart', async () => {
    const store = openStore(join(folder, 'there'));
    fillStore(store);
    store.close();
    const there = await start('there');
    await goTo(there, '#organ/hand-out');
    expect(await accessTroubles(there)).toEqual([]);
    expect(await leastWriting(there)).toBeGreaterThanOrEqual(13);
    const coming = there.waitForEvent('download');
    await there.getByRole('button', { name: 'Workshop, archive' }).click();
    const archive = join(folder, 'workshop.zip');
    await (await coming).saveAs(archive);
    await there.getByText(/Handed to the browser as workshop-/).waitFor();
    await stop();

    const here = await start('here');
    await here.getByRole('link', { name: 'Bring in a list' }).click();
    const broken = join(folder, 'broken.zip');
    writeFileSync(broken, readFileSync(archive).subarray(0, 900));
    await here.getByLabel('Open an archive').setInputFiles(broken);
    await here.getByText('Nothing was taken. Ask for the archive again, or hand it out anew.').waitFor();
    await here.getByLabel('Open an archive').setInputFiles(archive);
    await here.getByText('Batches: 1 new.').waitFor();
    expect(await accessTroubles(here)).toEqual([]);
    await here.getByRole('button', { name: 'Take the archive in' }).click();
    await here.getByText(/1 batch.* taken from the archive/).waitFor();
    await stop();

    const again = await start('here');
    await goTo(again, '#records/whole');
    await again.locator('.verified').first().waitFor();
    expect(await again.locator('.verified.failed').count()).toBe(0);
    await goTo(again, '#organ/bring-in');
    await again.getByLabel('Open an archive').setInputFiles(archive);
    await again.getByText('Batches: 1 the same.').waitFor();
    await again.getByRole('button', { name: 'Take the archive in' }).click();
    await again.getByText('Everything in the archive is here already; nothing was changed.').waitFor();
  });
});
