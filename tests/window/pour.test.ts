import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { ROOMS } from '../../drivers/simulated/physics.ts';
import { type ServedPort, servePty } from '../../drivers/simulated/pty.ts';
import { type OpenWindow, openWindow, WINDOWS, type WindowKind, whyNot } from './open.ts';
import { PanHand, pacedClock, seedSmallBatch } from './small-batch.ts';
import { eventsStored } from './stored.ts';

/** Every kind of window pours a whole batch at a real port, and one goes on where another was killed. */

const ROOT = resolve(import.meta.dirname, '../..');
const PACE = 3;
const run = promisify(execFile);

let folder: string;
let instrument: Instrument;
let port: ServedPort;
const open: OpenWindow[] = [];
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-pour-'));
  instrument = new Instrument({ room: ROOMS.still, rateHz: 10, clock: pacedClock(PACE) });
  port = await servePty(instrument);
  seedSmallBatch(join(folder, 'data'), {
    kind: 'serial',
    path: port.path,
    shape: 'comma-headed',
    line: '9600 8N1',
  });
});
afterEach(async () => {
  for (const window of open.splice(0)) await window.close();
  instrument.stop();
  await port.close();
  rmSync(folder, { recursive: true, force: true });
});

async function opened(kind: WindowKind): Promise<OpenWindow> {
  const window = await openWindow(kind, { data: join(folder, 'data'), demo: false, pace: PACE });
  open.push(window);
  return window;
}

async function closed(window: OpenWindow): Promise<void> {
  open.splice(open.indexOf(window), 1);
  expect(await window.close()).toBe(0);
}

const types = (): string[] => eventsStored(folder).map(({ type }) => type);

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

const readRecord = (file: string): RecordFile => JSON.parse(readFileSync(file, 'utf8')) as RecordFile;

for (const kind of WINDOWS.filter((one) => whyNot(one) === null))
  describe(`a whole pour in the ${kind} window`, () => {
    it('overpours one line, takes the least correction, closes, and leaves the true record', async () => {
      const window = await opened(kind);
      const { page } = window;
      const hand = new PanHand(page, instrument.controls);
      await hand.begin(48.5);
      await hand.pour(0.3);
      await page.getByRole('region', { name: 'How to go on' }).waitFor();
      const choices = await page.locator('.choice-title').allTextContents();
      expect(choices.slice(0, 3)).toEqual(['Least correction', 'Exact correction', 'Keep and record']);
      expect(choices.at(-1)).toBe('Start again');
      await hand.press('Take the least correction');
      await hand.finish();
      const json = await exported(kind, window, 'JSON');
      const csv = await exported(kind, window, 'CSV');
      await closed(window);

      expect(types().at(0)).toBe('started');
      expect(types().at(-1)).toBe('closed');
      const record = readRecord(json);
      expect(record.batch.status).toBe('closed');
      expect(
        record.events.flatMap(({ event }) => (event.type === 'correction-chosen' ? [event.choice] : [])),
      ).toEqual(['least']);
      expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside', 'inside']);
      expect(hand.untrue(record)).toEqual([]);
      expect(readFileSync(csv, 'utf8')).toMatch(/strength as made/);
      await run(process.execPath, ['electron/console/main.ts', 'verify', json], { cwd: ROOT });
      expect(existsSync(`${csv}.part`)).toBe(false);
    });
  });

describe('a pour that is broken off', () => {
  it('goes on in the other window where it was', async () => {
    const first = await opened('loopback');
    const hand = new PanHand(first.page, instrument.controls);
    await hand.begin(48.5);
    const poured = await hand.pour();
    await hand.captured();
    const { title } = await hand.bottle();
    process.kill(first.pid, 'SIGKILL');
    open.splice(0);
    await first.close();

    const second = await opened('stand-in');
    hand.page = second.page;
    const { title: inHand, figure } = await hand.shows(({ unit, solid }) => unit === 'g to go' && solid);
    expect(inHand).toBe(title);
    hand.fall(title, Number(figure));
    await hand.captured();
    await hand.finish();
    const record = readRecord(await exported('stand-in', second, 'JSON'));
    await closed(second);
    expect(types().filter((type) => type === 'started')).toHaveLength(1);
    expect(types().at(-1)).toBe('closed');
    expect(record.asMade.lines.map((line) => line.title)).toEqual(expect.arrayContaining([poured, title]));
    expect(hand.untrue(record)).toEqual([]);
  });
});
