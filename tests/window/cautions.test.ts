import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { glance, pedal } from './hand.ts';
import { type OpenWindow, openWindow } from './open.ts';

let folder: string;
let open: OpenWindow;
let page: Page;

async function start(): Promise<void> {
  open = await openWindow('loopback', { data: join(folder, 'data') });
  page = open.page;
  page.setDefaultTimeout(15_000);
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-cautions-'));
  await start();
  await page.goto(`${page.url().split('#')[0]}#balance`);
  await page.getByRole('radio', { name: /Simulated balance/ }).check();
  await page.getByRole('button', { name: 'Use this balance' }).click();
  await page.getByRole('button', { name: 'Vessel on' }).click();
});
afterAll(async () => {
  await open.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Types of the events of each batch, the oldest batch first; read while no program holds the database. */
function stored(): string[][] {
  const db = new Database(join(folder, 'data', 'pourwright.sqlite'), { readonly: true });
  try {
    const of = db.prepare<[string], { type: string }>('SELECT type FROM event WHERE batch = ? ORDER BY n');
    const batches = db.prepare<[], { id: string }>('SELECT id FROM batch ORDER BY started').all();
    return batches.map(({ id }) => of.all(id).map((row) => row.type));
  } finally {
    db.close();
  }
}

const count = (types: readonly string[] | undefined, type: string): number =>
  (types ?? []).filter((one) => one === type).length;
const due = () => page.getByRole('list', { name: 'Before this bottle' });
const dueNow = () => due().getByRole('listitem').count();
/** How many cautions the first bottle has. */
let cautions = 0;

const rule = (name: RegExp) => page.getByRole('group', { name: /^Cautions/ }).getByRole('radio', { name });

async function toTheFirstBottle(): Promise<void> {
  await page.getByRole('link', { name: /^Pour/ }).click();
  await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  /* A reading that moves again just then is refused: a person presses once more. */
  await expect
    .poll(
      async () => {
        if ((await due().count()) === 0) await pedal(page);
        return due().count();
      },
      { interval: 600, timeout: 15_000 },
    )
    .toBe(1);
  await due().waitFor();
}

/** Leaves the bottle in hand unpoured, and the batch. */
async function abandon(): Promise<void> {
  await page.getByRole('button', { name: 'Skip this line' }).click();
  await page.getByLabel('Reason, for the record').fill('a test of cautions');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Abandon the batch' }).click();
  await page.getByLabel('Reason, for the record').fill('a test of cautions');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Open the record' }).waitFor();
  await page.keyboard.press('l');
  await page.getByRole('button', { name: 'Start the batch' }).waitFor();
}

describe('cautions by pedal', () => {
  it('shown: one press heeds them, a foot that presses on at once confirms no bottle, and a later press does', async () => {
    await toTheFirstBottle();
    cautions = await dueNow();
    expect(cautions).toBeGreaterThan(1);
    await page.getByRole('button', { name: `All ${cautions} heeded` }).waitFor();
    for (let n = 0; n < 4; n += 1) await page.keyboard.press('PageDown');
    await due().waitFor({ state: 'detached' });
    await page.keyboard.press('Space');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Right bottle in hand' }).waitFor();
    expect(await pedal(page)).toBe('Right bottle in hand');
    await page.getByRole('button', { name: 'Settle' }).waitFor();
    await abandon();
  });

  it('shown: the bottle can be taken without them by a key of its own', async () => {
    await toTheFirstBottle();
    await page.keyboard.press('o');
    await page.getByRole('button', { name: 'Settle' }).waitFor();
    await abandon();
  });
});

describe('cautions that a teacher requires', () => {
  it('are chosen in the settings and kept by the host over a restart of the program', async () => {
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    await expect.poll(() => rule(/shown/).isChecked()).toBe(true);
    await rule(/heeded/).check();
    await page.keyboard.press('Escape');
    expect(await open.close()).toBe(0);
    const [first, second] = stored();
    expect(count(first, 'caution-heeded')).toBe(cautions);
    expect(count(first, 'pour-begun')).toBe(1);
    expect(count(second, 'caution-heeded')).toBe(0);
    await start();
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    await expect.poll(() => rule(/heeded/).isChecked()).toBe(true);
    await page.keyboard.press('Escape');
  });

  it('hold for the next batch: each is heeded by a press of its own, and no bottle is taken before', async () => {
    await page.getByRole('link', { name: 'Balance', exact: true }).click();
    await page.getByRole('button', { name: 'Vessel on' }).click();
    await toTheFirstBottle();
    expect(await dueNow()).toBe(cautions);
    for (let left = cautions; left > 0; left -= 1) {
      expect((await glance(page)).actions.map((one) => one.label)).not.toContain('Right bottle in hand');
      await page.keyboard.press('o');
      expect(await dueNow()).toBe(left);
      expect(await pedal(page)).toBe('Done, heeded');
      await expect.poll(dueNow).toBe(left - 1);
    }
    expect(await pedal(page)).toBe('Right bottle in hand');
    await page.getByRole('button', { name: 'Settle' }).waitFor();
  });
});
