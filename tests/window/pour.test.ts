import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { promisify } from 'node:util';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { pourByHand } from './hand.ts';
import { type OpenWindow, openWindow, WINDOWS, type WindowKind, whyNot } from './open.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const run = promisify(execFile);

let folder: string;
const open: OpenWindow[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-pour-'));
});
afterEach(async () => {
  for (const window of open.splice(0)) await window.close();
  rmSync(folder, { recursive: true, force: true });
});

async function opened(kind: WindowKind): Promise<OpenWindow> {
  const window = await openWindow(kind, { data: join(folder, 'data') });
  open.push(window);
  return window;
}

async function closed(window: OpenWindow): Promise<void> {
  open.splice(open.indexOf(window), 1);
  expect(await window.close()).toBe(0);
}

async function chooseSimulated(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Balance', exact: true }).click();
  await page.getByRole('radio', { name: /Simulated balance/ }).check();
  await page.getByRole('button', { name: 'Use this balance' }).click();
  await page.getByText('settled').first().waitFor();
}

async function startBatch(page: Page, formula: string): Promise<void> {
  await page.getByRole('link', { name: 'Pour', exact: true }).click();
  await page.getByRole('radio', { name: new RegExp(formula) }).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
}

interface Stored {
  readonly types: readonly string[];
  readonly choice: string;
  readonly status: string;
}

function stored(): Stored {
  const db = new Database(join(folder, 'data', 'pourwright.sqlite'), { readonly: true });
  try {
    const rows = db.prepare('SELECT type, body FROM event ORDER BY n').all() as {
      type: string;
      body: string;
    }[];
    const correction = rows.find((row) => row.type === 'correction-chosen')?.body ?? '{}';
    const batch = db.prepare('SELECT status FROM batch').get() as { status: string };
    return {
      types: rows.map((row) => row.type),
      choice: String((JSON.parse(correction) as { choice?: string }).choice),
      status: batch.status,
    };
  } finally {
    db.close();
  }
}

/** The record as the window exports it: handed to the browser, or written where the desktop's dialog says. */
async function exported(kind: WindowKind, window: OpenWindow, format: 'JSON' | 'CSV'): Promise<string> {
  const file = join(folder, `record.${format.toLowerCase()}`);
  const button = window.page.getByRole('button', { name: format, exact: true });
  if (kind === 'stand-in') {
    window.saveTo(file);
    await button.click();
    await window.page.getByText(`Written to ${file}`).waitFor();
  } else {
    const [download] = await Promise.all([window.page.waitForEvent('download'), button.click()]);
    await download.saveAs(file);
  }
  return file;
}

interface RecordFile {
  readonly batch: { readonly status: string; readonly operator: string };
  readonly asMade: { readonly lines: readonly { readonly title: string; readonly mark: string }[] };
}

for (const kind of WINDOWS.filter((one) => whyNot(one) === null))
  describe(`a whole pour in the ${kind} window`, () => {
    it('overpours one line, takes the least correction, closes, and leaves the true record', async () => {
      const window = await opened(kind);
      const { page } = window;
      await chooseSimulated(page);
      await startBatch(page, 'Vetiver, dilution');
      const did = await pourByHand(page, { spill: 'Vetiver oil', limit: 90_000 });
      expect(did.lines).toEqual(['Vetiver oil', expect.stringMatching(/^Ethanol/)]);
      expect(did.offered).toHaveLength(1);
      expect(did.offered[0]?.slice(0, 3)).toEqual([
        'Least correction',
        'Exact correction',
        'Keep and record',
      ]);
      expect(did.offered[0]?.at(-1)).toBe('Start again');
      await page.getByRole('button', { name: 'Open the record' }).click();
      await page.locator('.verified').waitFor();
      const json = await exported(kind, window, 'JSON');
      const csv = await exported(kind, window, 'CSV');
      await closed(window);

      const { types, choice, status } = stored();
      expect(types[0]).toBe('started');
      expect(types.at(-1)).toBe('closed');
      expect(types.filter((type) => type === 'correction-chosen')).toHaveLength(1);
      expect(choice).toBe('least');
      expect(status).toBe('closed');
      const record = JSON.parse(readFileSync(json, 'utf8')) as RecordFile;
      expect(record.batch.status).toBe('closed');
      expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside']);
      expect(readFileSync(csv, 'utf8')).toMatch(/strength as made/);
      await run(process.execPath, ['electron/console/main.ts', 'verify', json], { cwd: ROOT });
      expect(existsSync(`${csv}.part`)).toBe(false);
    });
  });

describe('a pour that is broken off', () => {
  it('goes on in the other window where it was', async () => {
    const first = await opened('loopback');
    await chooseSimulated(first.page);
    await startBatch(first.page, 'Vetiver, dilution');
    const half = await pourByHand(first.page, {
      spill: '',
      limit: 60_000,
      until: (seen) => /^ethanol/i.test(seen.title) && seen.actions[0]?.label === 'Settle',
    });
    expect(half.lines).toHaveLength(2);
    process.kill(first.pid, 'SIGKILL');
    open.splice(0);
    await first.close();

    const second = await opened('stand-in');
    await second.page.getByRole('button', { name: 'Settle' }).waitFor();
    await pourByHand(second.page, { spill: '', limit: 60_000 });
    await second.page.getByRole('button', { name: 'Open the record' }).click();
    await second.page.locator('.verified').waitFor();
    await closed(second);
    expect(stored().types.filter((type) => type === 'started')).toHaveLength(1);
    expect(stored().status).toBe('closed');
  });
});
