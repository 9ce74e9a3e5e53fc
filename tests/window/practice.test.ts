import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { accessTroubles } from './access.ts';
import { pourByHand } from './hand.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

/** The bench's time runs so many times as fast as the hand's: every wait below is for what the screen says. */
const PACE = 3;
/** A careful hand lets the figure stand so long, ms of the bench. */
const STANDS_MS = 1400;

const folder = mkdtempSync(join(tmpdir(), 'pourwright-practice-'));
const place = { data: join(folder, 'data'), demo: false, pace: PACE };
let open: LoopbackWindow;
let page: Page;
beforeAll(async () => {
  const store = openStore(place.data);
  fillStore(store);
  store.close();
  open = await openLoopback(place);
  page = open.page;
});
afterAll(async () => {
  await open.close();
  rmSync(folder, { recursive: true, force: true });
});

const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click();
const says = (text: string | RegExp) => page.getByText(text).first().waitFor();
const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name, exact: true }).click();
const leaf = (name: string) =>
  page.getByRole('navigation', { name: 'Practice' }).getByRole('link', { name, exact: true }).click();
const figure = (text: string | RegExp) => page.locator('.face .big', { hasText: text }).waitFor();
/** Waits until the present step says this: the list of steps says every one. */
const asks = (text: string) => page.locator('.guided-now', { hasText: text }).waitFor();

/** Presses the space bar once its button is there, and waits until the next step is asked. */
async function then(button: string, next: string): Promise<void> {
  await page.locator('.bar-actions').getByRole('button', { name: button }).waitFor();
  await page.keyboard.press('Space');
  await asks(next);
}

/** Waits until the figure has stood as long as a careful hand lets it. */
async function standing(): Promise<void> {
  const seen = () =>
    page.evaluate(() => {
      const big = document.querySelector('.face .big');
      return big?.getAttribute('data-drawn') === 'solid' ? (big.textContent ?? '') : null;
    });
  let since = Date.now();
  for (let last = await seen(); last === null || Date.now() - since < STANDS_MS / PACE; ) {
    await page.waitForTimeout(40);
    const now = await seen();
    if (now !== last) since = Date.now();
    last = now;
  }
}

/** Weight on, and both presses at once: the window's own eye is quicker than any hand, so the figure still moves. */
async function takeTooEarly(): Promise<void> {
  await page.evaluate(() => {
    const look = new MutationObserver(() => {
      const at = document.querySelector('.guided-now')?.textContent ?? '';
      const g = Number(document.querySelector('.face .big')?.textContent);
      const wanted = at.startsWith('Put the 50 g weight') ? 'put' : at.startsWith('Wait until') ? 'read' : '';
      if (wanted === '' || g < 3 || document.body.dataset.pressed === wanted) return;
      document.body.dataset.pressed = wanted;
      dispatchEvent(new KeyboardEvent('keydown', { key: ' ' }));
      if (wanted === 'read') look.disconnect();
    });
    look.observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  await press('Weight on');
}

async function begin(lesson: string): Promise<void> {
  await tab('Practice');
  await leaf('Course');
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
    await then('It is so', 'The pan is empty.');
    await page.keyboard.press('z');
    await figure('0.00');
    await then('The pan is at zero', 'Put the empty vessel');
    await page.keyboard.press('Space');
    await says('Nothing stands on the pan.');
    await press('Vessel on');
    await figure(/^[2-6]\d\./);
    await then('It stands there', 'Wait until the figure stands');
    await standing();
    await then('Read', 'Lift the vessel off');
    await press('Vessel off');
    await figure(/^-?0\./);
    await then('It is off', 'it should be zero again');
    await standing();
    await then('Read', 'Every step is done.');
    await page.keyboard.press('Space');
    await says('One thing to try next');
    expect(await score()).toBeGreaterThanOrEqual(80);
    await page.getByRole('row', { name: /Zero first/ }).waitFor();
    expect(await accessTroubles(page)).toEqual([]);
  });

  it('takes the check weight too early, and the moment is marked on the trace', async () => {
    await begin('The check weight');
    await page.keyboard.press('z');
    await figure('0.00');
    await then('The pan is at zero', 'Put the 50 g weight');
    await takeTooEarly();
    await asks('Is the figure inside or outside of that?');
    await press(/^Inside/);
    await asks('Take the weight off');
    await press('Weight off');
    await figure(/^-?0\./);
    await then('It is off', 'it should be zero again');
    await standing();
    await then('Read', 'Every step is done.');
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
    await pourByHand(page, {
      spill: '',
      byDrops: true,
      limit: 60_000,
      until: (seen) => seen.actions.length === 0,
    });
    await says('One thing to try next');
    expect(await score()).toBeGreaterThan(0);
    await page.getByRole('row', { name: /Ended inside the window/ }).waitFor();
    expect(await page.getByRole('button', { name: 'Put away' }).count()).toBe(0);
    await tab('Records');
    const batches = page.getByRole('navigation', { name: 'Batches' }).getByRole('link');
    await expect.poll(() => batches.count()).toBe(2);
    expect(await batches.filter({ hasText: '1.00 g within a window' }).count()).toBe(0);
  });

  it('looks at a batch of the workshop by the same rules, from its record', async () => {
    await tab('Records');
    await page
      .getByRole('navigation', { name: 'Batches' })
      .getByRole('link', { name: /closed/i })
      .click();
    await page.getByRole('link', { name: 'Review as an exercise' }).click();
    await says('One thing to try next');
    await page.getByRole('row', { name: /Ended inside the window/ }).waitFor();
    await page.locator('.plot canvas').waitFor();
  });

  it('finds nothing on any leaf that bars the way to it', async () => {
    await tab('Practice');
    const troubles: string[] = [];
    const leaves = {
      Course: 'Lately',
      Learners: 'Anouk',
      'Every bench': 'The benches of this machine',
      Exercises: 'Make an exercise',
      Rules: 'Ended inside the window',
    };
    for (const [name, text] of Object.entries(leaves)) {
      await leaf(name);
      await says(text);
      troubles.push(...(await accessTroubles(page)).map((one) => `${name}: ${one}`));
    }
    await leaf('Course');
    await page.getByRole('link', { name: 'The overpour' }).click();
    await says('What good looks like');
    troubles.push(...(await accessTroubles(page)));
    expect(troubles).toEqual([]);
  });

  it('finds the progress again after a restart', async () => {
    expect(await open.again()).toBe(0);
    await tab('Practice');
    await says('Anouk');
    await expect.poll(() => page.locator('.lesson-row:not([data-mark=new])').count()).toBe(3);
    await expect.poll(() => page.locator('.lately li').count()).toBe(3);
  });
});
