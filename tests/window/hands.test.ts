import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenWindow, openWindow } from './open.ts';

/** Gap between the characters of a scan, ms: short, so that a busy machine seldom parts them as no scanner would. */
const SCAN_GAP = 2;

let folder: string;
let open: OpenWindow;
let page: Page;
/** The lot that was scanned right. */
let bottle = '';

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-hands-'));
  open = await openWindow('loopback', { data: join(folder, 'data') });
  page = open.page;
  page.setDefaultTimeout(15_000);
  await page.getByRole('link', { name: 'Balance', exact: true }).click();
  await page.getByRole('radio', { name: /Simulated balance/ }).check();
  await page.getByRole('button', { name: 'Use this balance' }).click();
  await page.getByRole('button', { name: 'Vessel on' }).click();
  await page.getByRole('link', { name: 'Pour', exact: true }).click();
  await page.getByRole('radio', { name: /Hedge bank/ }).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  await page.getByText(/^6\d\.\d\d g$/).waitFor();
  await page.waitForTimeout(1500);
  await wordIs('settled');
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Characters as a scanner sends them: in one task of the page, so that no load of this machine parts them. */
async function scan(code: string, end: readonly string[] = ['Enter']): Promise<void> {
  await page.evaluate(
    async ({ keys, gap }) => {
      for (const key of keys) {
        const target = document.activeElement ?? document.body;
        target.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
        target.dispatchEvent(new KeyboardEvent('keyup', { key, bubbles: true, cancelable: true }));
        const until = performance.now() + gap;
        while (performance.now() < until);
      }
    },
    { keys: [...code, ...end], gap: SCAN_GAP },
  );
}

const word = () => page.locator('.face-word').textContent();
const wordIs = (text: string | RegExp) => page.locator('.face-word').getByText(text).waitFor();
const lot = async (): Promise<string> => (await page.locator('.names .lot-code').textContent()) ?? '';
const refused = () => page.getByRole('alert', { name: 'Not taken' });
const focusOn = () => page.evaluate(() => document.activeElement?.tagName ?? 'nothing');

interface Row {
  readonly type: string;
  readonly body: string;
}

function events(): Row[] {
  const db = new Database(join(folder, 'data', 'pourwright.sqlite'), { readonly: true });
  try {
    return db.prepare('SELECT type, body FROM event ORDER BY n').all() as Row[];
  } finally {
    db.close();
  }
}

describe('hands on Pour', () => {
  it('takes the vessel by the page key of a pedal, and the focus is not lost', async () => {
    await page.getByRole('button', { name: 'Take the vessel' }).focus();
    await page.keyboard.press('PageDown');
    await wordIs('fetch the bottle');
    await expect.poll(focusOn).toBe('MAIN');
  });

  it('pauses by Page Up and goes on by Page Down', async () => {
    await page.keyboard.press('PageUp');
    const resume = page.getByRole('button', { name: 'Resume' });
    await resume.and(page.locator(':enabled')).waitFor();
    await page.keyboard.press('PageDown');
    await page.getByRole('button', { name: 'Right bottle in hand' }).waitFor();
  });

  it('refuses a wrong bottle large, does none of the keys its code holds, and takes nothing by the space bar', async () => {
    await scan('VSKAN-DF1');
    await refused().waitFor();
    expect(await refused().getByRole('heading').textContent()).toBe('Wrong bottle');
    const size = await refused()
      .locator('.is')
      .evaluate((one) => Number.parseFloat(getComputedStyle(one).fontSize));
    expect(size).toBeGreaterThanOrEqual(40);
    expect(await page.getByRole('dialog').count()).toBe(0);
    await page.keyboard.press('Space');
    await refused().waitFor({ state: 'detached' });
    expect(await word()).toBe('fetch the bottle');
  });

  it('takes nothing from a code that was cut short', async () => {
    const code = await lot();
    await scan(code.slice(0, -1), []);
    await refused().getByText('cut short').waitFor();
    await page.keyboard.press('Enter');
    await refused().waitFor({ state: 'detached' });
    expect(await word()).toBe('fetch the bottle');
  });

  it('tells beside the field that a typed code is of another lot, and keeps what was typed', async () => {
    await page.keyboard.press('b');
    const field = page.getByLabel("lot's code");
    await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.type('XX-1');
    await page.keyboard.press('Enter');
    await refused().waitFor();
    expect(await field.inputValue()).toBe('XX-1');
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    await page.keyboard.press('Escape');
    await expect.poll(focusOn).toBe('MAIN');
    await page.keyboard.press('Space');
    await refused().waitFor({ state: 'detached' });
  });

  it('confirms the right bottle by scan, in letters of either case, and the record says so', async () => {
    const code = await lot();
    await scan(code.toLowerCase());
    await page.getByRole('button', { name: 'Settle' }).waitFor();
    bottle = code;
  });

  it('draws the settle mark while mass is on its way, and no longer once it rests', async () => {
    await page.keyboard.down('f');
    await page.locator('.lane-settle').waitFor();
    const mark = page.locator('.ledger .foreseen dd');
    await expect.poll(() => mark.textContent()).toMatch(/^\d+\.\d\d g$/);
    await page.keyboard.up('f');
    await page.locator('.big[data-drawn=solid]').waitFor();
    await page.locator('.lane-settle').waitFor({ state: 'detached' });
    expect(await mark.textContent()).toBe('–');
  });

  it('says beside the field why a count of drops is none, and learns the drop from a true one', async () => {
    const drop = page.locator('.ledger div', { hasText: /^drop/ }).locator('dd');
    const before = await drop.textContent();
    await page.keyboard.press('g');
    const field = page.getByLabel('drops given');
    await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.type('none');
    await page.keyboard.press('Enter');
    await page.getByText('A whole number of drops, from 1 to 200.').waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(focusOn).toBe('MAIN');
    const rest = await page.locator('.ledger dd').first().textContent();
    for (let n = 0; n < 5; n += 1) await page.keyboard.press('d');
    await expect.poll(() => page.locator('.ledger dd').first().textContent()).not.toBe(rest);
    await page.waitForTimeout(1000);
    await page.locator('.big[data-drawn=solid]').waitFor();
    await page.keyboard.press('g');
    await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.type('5');
    await page.keyboard.press('Enter');
    await page.getByText(/^Learnt: a drop is/).waitFor();
    expect(await drop.textContent()).not.toBe(before);
    expect(await drop.textContent()).toMatch(/^\d+(\.\d)? mg ± \d/);
    await expect.poll(focusOn).toBe('MAIN');
  });

  it('shows what each line gets, on request, when a line is past its window', async () => {
    await page.keyboard.down('f');
    await wordIs('past the window');
    await page.keyboard.up('f');
    await page.getByRole('region', { name: 'How to go on' }).waitFor();
    await page.keyboard.press('l');
    await page.locator('.choice-lines').first().waitFor();
    const extras = await page.locator('.choice').first().locator('.choice-lines .mass').allTextContents();
    expect(extras.length).toBeGreaterThan(1);
    for (const extra of extras) expect(extra).toMatch(/^[+\u2212]\d+\.\d+\u00a0g$/);
    await page.getByRole('button', { name: 'What each costs' }).click();
    await page.locator('.choice-lines').first().waitFor({ state: 'detached' });
  });

  it('takes a choice by its digit, but none by the digits of a stray code', async () => {
    await scan('123-321');
    await page.waitForTimeout(300);
    await refused().getByText('no bottle is asked for').waitFor();
    await page.keyboard.press('Space');
    await page.keyboard.press('3');
    await page.getByRole('button', { name: 'Right bottle in hand' }).waitFor();
    await expect.poll(focusOn).toBe('MAIN');
  });

  it('says in the settings that there is no voice where there is none, and stays silent by itself', async () => {
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    const wanted = page.getByLabel('speak the next step');
    expect(await wanted.isChecked()).toBe(false);
    const voices = await page.evaluate(() => speechSynthesis.getVoices().length);
    expect(await page.getByText('has no English voice of its own').count()).toBe(voices === 0 ? 1 : 0);
    await wanted.check();
    await page.reload();
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    expect(await wanted.isChecked()).toBe(true);
    await page.keyboard.press('Escape');
  });

  it('leaves a record that tells scan, drops and choice, and nothing that a stray code or a cut one would have done', async () => {
    expect(await open.close()).toBe(0);
    const all = events();
    const begun = JSON.parse(all.find((row) => row.type === 'pour-begun')?.body ?? '{}') as object;
    expect(begun).toMatchObject({ lot: bottle, confirmed: 'by scan' });
    expect(all.some((row) => row.body.includes('drop learnt'))).toBe(true);
    const choices = all.filter((row) => row.type === 'correction-chosen');
    expect(choices.map((row) => JSON.parse(row.body) as object)).toMatchObject([{ choice: 'keep' }]);
    for (const stray of ['voided', 'skipped', 'abandoned', 'line-added'])
      expect(all.map((row) => row.type)).not.toContain(stray);
  });
});
