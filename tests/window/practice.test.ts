import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles } from './access.ts';
import { pourByHand } from './hand.ts';
import { type OpenWindow, openWindow } from './open.ts';

const folder = mkdtempSync(join(tmpdir(), 'pourwright-practice-'));
let open: OpenWindow;
let page: Page;
beforeAll(async () => {
  open = await openWindow('loopback', { data: join(folder, 'data') });
  page = open.page;
});
afterAll(async () => {
  await open.close();
  rmSync(folder, { recursive: true, force: true });
});

const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click();
const says = (text: string | RegExp) => page.getByText(text).first().waitFor();
/** Waits until the present step says this: the list of steps says every one. */
const asks = (text: string) => page.locator('.guided-now', { hasText: text }).waitFor();
const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name, exact: true }).click();

/** Waits until the display stands, and then as long as a careful hand does. */
async function standing(): Promise<void> {
  await page.waitForTimeout(500);
  await page.locator('.face .big[data-drawn=solid]').waitFor();
  await page.waitForTimeout(1300);
}

async function begin(lesson: string): Promise<void> {
  await tab('Practice');
  await page.getByRole('navigation', { name: 'Practice' }).getByRole('link', { name: 'Course' }).click();
  await page.getByRole('link', { name: lesson }).click();
  await press('Begin on the simulated balance');
  await page.locator('.face .big[data-drawn=solid]').waitFor();
}

const score = async (): Promise<number> => Number(await page.locator('.score-figure').textContent());

describe('a beginner at the window', () => {
  it('says who is learning, does "Level and zero" to its feedback, and the figure is named', async () => {
    await tab('Practice');
    await says('Nobody is learning at this bench yet.');
    await page.getByRole('link', { name: 'Say who it is' }).click();
    await page.getByRole('textbox', { name: 'New learner' }).fill('Anouk');
    await press('Add, and learn here');
    await says('is learning here');
    await begin('Level and zero');
    await page.keyboard.press('Space');
    await asks('The pan is empty.');
    await page.keyboard.press('z');
    await page.locator('.face .big', { hasText: '0.00' }).waitFor();
    await page.keyboard.press('Space');
    await asks('Put the empty vessel');
    await page.keyboard.press('Space');
    await says('Nothing stands on the pan.');
    await press('Vessel on');
    await page.locator('.face .big', { hasText: /^[2-6]\d\./ }).waitFor();
    await page.keyboard.press('Space');
    await asks('Wait until the figure stands');
    await standing();
    await page.keyboard.press('Space');
    await asks('Lift the vessel off');
    await press('Vessel off');
    await page.locator('.face .big', { hasText: /^-?0\./ }).waitFor();
    await page.keyboard.press('Space');
    await asks('it should be zero again');
    await standing();
    await page.keyboard.press('Space');
    await asks('Every step is done.');
    await page.keyboard.press('Space');
    await says('One thing to try next');
    expect(await score()).toBeGreaterThanOrEqual(80);
    await page.getByRole('row', { name: /Zero first/ }).waitFor();
    expect(await accessTroubles(page)).toEqual([]);
  });

  it('takes the check weight too early, and the moment is marked on the trace', async () => {
    await begin('The check weight');
    await page.keyboard.press('z');
    await page.locator('.face .big', { hasText: '0.00' }).waitFor();
    await page.keyboard.press('Space');
    await asks('Put the 50 g weight');
    await press('Weight on');
    await page.locator('.face .big', { hasText: /^[1-5]\d\./ }).waitFor();
    await page.keyboard.press('Space');
    await asks('Wait until the figure stands');
    await page.keyboard.press('Space');
    await asks('Is the figure inside or outside of that?');
    await press(/^Inside/);
    await asks('Take the weight off');
    await press('Weight off');
    await page.locator('.face .big', { hasText: /^-?0\./ }).waitFor();
    await page.keyboard.press('Space');
    await asks('it should be zero again');
    await standing();
    await page.keyboard.press('Space');
    await asks('Every step is done.');
    await page.keyboard.press('Space');
    await says('One thing to try next');
    const moment = page.getByRole('button', { name: /you read/ }).first();
    expect(await moment.textContent()).toMatch(/you read .*(too early here|still moving|came to rest)/);
    await moment.click();
    expect(await moment.getAttribute('aria-pressed')).toBe('true');
    await page.locator('.plot canvas').waitFor();
  });

  it('pours 1.00 g with the keys of Pour, is scored, and the workshop has no record of it', async () => {
    await begin('1.00 g within a window');
    await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
    await pourByHand(page, { spill: '', limit: 60_000, until: (seen) => seen.actions.length === 0 });
    await says('One thing to try next');
    expect(await score()).toBeGreaterThan(0);
    await page.getByRole('row', { name: /Ended inside the window/ }).waitFor();
    await tab('Records');
    await page.waitForTimeout(300);
    expect(await page.getByText('1.00 g within a window').count()).toBe(0);
  });

  it('finds the progress again after a restart', async () => {
    await open.close();
    const db = new Database(join(folder, 'data', 'pourwright.sqlite'), { readonly: true });
    try {
      expect(db.prepare('SELECT count(*) AS n FROM batch').get()).toEqual({ n: 0 });
    } finally {
      db.close();
    }
    open = await openWindow('loopback', { data: join(folder, 'data') });
    page = open.page;
    await tab('Practice');
    await says('Anouk');
    expect(await page.locator('.lesson-row:not([data-mark=new])').count()).toBe(3);
    expect(await page.locator('.lately li').count()).toBe(3);
    expect(await accessTroubles(page)).toEqual([]);
  });
});
