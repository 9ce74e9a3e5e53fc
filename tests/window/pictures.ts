import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { buildAll, isStale } from '../../electron/build.ts';
import { pourByHand, takeBottle } from './hand.ts';
import { openWindow } from './open.ts';

/**
 * Takes the pictures for the README from the built program: `node tests/window/pictures.ts`. A hand at the simulated
 * balance pours a dilution with a drop too many and takes its record; of a second batch it pours two lines, and the third is
 * taken while it moves (light) and once it is over (dark).
 */

const DOCS = resolve(import.meta.dirname, '../../docs');
const DILUTION = 'Vetiver, dilution 10 %';
const FORMULA = 'Hedge bank, trial 4';
/** The stream is cut off at this mass to go, grams: a second of it is on its way to the display. */
const CUT_OFF = 0.9;

const state = async (page: Page): Promise<{ word: string; figure: number; unit: string }> =>
  page.evaluate(() => ({
    word: document.querySelector('.face-word')?.textContent ?? '',
    figure: Number(document.querySelector('.face-figure .big')?.textContent),
    unit: document.querySelector('.face-unit')?.textContent ?? '',
  }));

const word = (page: Page, text: string | RegExp) => page.locator('.face-word').getByText(text).waitFor();

async function streamTo(page: Page, toGo: number): Promise<void> {
  await page.keyboard.down('f');
  for (;;) {
    const { unit, figure } = await state(page);
    if (unit !== 'g to go' || figure <= toGo) break;
    await page.waitForTimeout(20);
  }
  await page.keyboard.up('f');
  await page.waitForTimeout(1500);
}

/** Drops one at a time, waiting for the display, until `done`. */
async function dropUntil(
  page: Page,
  done: (now: Awaited<ReturnType<typeof state>>) => boolean,
): Promise<void> {
  for (let n = 0; n < 60 && !done(await state(page)); n += 1) {
    await page.keyboard.press('d');
    await page.waitForTimeout(900);
  }
}

async function pourInside(page: Page): Promise<void> {
  await takeBottle(page);
  await page.getByText('g to go').waitFor();
  await streamTo(page, CUT_OFF);
  await dropUntil(page, ({ unit }) => unit !== 'g to go');
  await page.getByText('next bottle').waitFor();
}

const folder = mkdtempSync(join(tmpdir(), 'pourwright-pictures-'));
if (isStale()) await buildAll();
mkdirSync(DOCS, { recursive: true });
const open = await openWindow('loopback', { data: folder });
const { page } = open;
const take = async (name: string, scheme: 'light' | 'dark'): Promise<void> => {
  await page.emulateMedia({ colorScheme: scheme });
  await page.waitForTimeout(500);
  await page.screenshot({ path: join(DOCS, `${name}-${scheme}.png`) });
};
const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();

async function start(formula: string): Promise<void> {
  await tab('Pour');
  await page.getByLabel(formula).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
}

async function recordAndShelves(): Promise<void> {
  await start(DILUTION);
  await pourByHand(page, { spill: 'Vetiver oil', limit: 180_000 });
  await page.getByRole('button', { name: 'Open the record' }).click();
  await page.locator('.verified').waitFor();
  await take('record', 'light');
  await tab('Pour');
  await page.getByRole('button', { name: 'Leave the bench' }).click();
  await tab('Organ');
  await page.getByRole('heading', { name: 'florals' }).waitFor();
  await take('organ', 'light');
}

try {
  await page.setViewportSize({ width: 1280, height: 800 });
  await tab('Balance');
  await page.getByRole('button', { name: 'Use this balance' }).click();
  await page.getByRole('main').getByText('settled', { exact: true }).waitFor();
  await recordAndShelves();
  await tab('Balance');
  await page.getByRole('button', { name: 'Vessel off' }).click();
  await page.getByRole('button', { name: 'Vessel on' }).click();
  await start(FORMULA);
  await word(page, 'settled');
  await page.keyboard.press('Space');
  await word(page, 'fetch the bottle');
  await pourInside(page);
  await pourInside(page);
  await takeBottle(page);
  await page.getByText('g to go').waitFor();
  await page.emulateMedia({ colorScheme: 'light' });
  await streamTo(page, CUT_OFF);
  await dropUntil(page, ({ figure }) => figure <= 0.35);
  await page.keyboard.press('d');
  await page.locator('.big[data-drawn=hollow]').waitFor();
  await page.screenshot({ path: join(DOCS, 'pour-light.png') });
  await dropUntil(page, ({ unit, figure }) => unit !== 'g to go' || figure <= 0.06);
  // Four drops in one breath: the reading comes to rest well past the window.
  for (let n = 0; n < 4; n += 1) await page.keyboard.press('d');
  await page.getByRole('region', { name: 'How to go on' }).waitFor();
  await take('pour', 'dark');
} finally {
  await open.close();
  rmSync(folder, { recursive: true, force: true });
}
