import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PourEvent } from '../../core/pour/events.ts';
import type { RecordFile } from '../../core/record/record.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { ROOMS } from '../../drivers/simulated/physics.ts';
import { type ServedPort, servePty } from '../../drivers/simulated/pty.ts';
import { glance } from './hand.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';
import { exportedRecord, notice, PanHand, pacedClock, portIn, seedSmallBatch } from './small-batch.ts';

/**
 * The main ways through a pour on a balance at a pseudo-terminal: what is on the screen, what is stored, and that the
 * record holds what truly fell into the vessel. Program and balance run on a quick clock.
 */

const PACE = 3;

let folder: string;
let data: string;
let instrument: Instrument;
let port: ServedPort;
let window: LoopbackWindow;
let page: Page;
let hand: PanHand;

async function plugIn(): Promise<void> {
  port = await servePty(instrument);
  symlinkSync(port.path, portIn(folder));
}

async function unplug(): Promise<void> {
  unlinkSync(portIn(folder));
  await port.close();
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-paths-'));
  data = join(folder, 'data');
  instrument = new Instrument({ room: ROOMS.still, rateHz: 10, clock: pacedClock(PACE) });
  await plugIn();
  seedSmallBatch(data, { kind: 'serial', path: portIn(folder), shape: 'comma-headed', line: '9600 8N1' });
  window = await openLoopback({ data, demo: false, pace: PACE });
  ({ page } = window);
  hand = new PanHand(page, instrument.controls);
});
afterAll(async () => {
  expect(await window.close()).toBe(0);
  instrument.stop();
  await port.close();
  rmSync(folder, { recursive: true, force: true });
});

const ways = () => page.getByRole('region', { name: 'How to go on' });
/** Lines whose rung of the ladder says that they are topped up. */
const toppedUp = async (): Promise<string[]> => {
  const rungs = page.getByRole('region', { name: 'Steps' }).getByRole('listitem');
  const names = await rungs.filter({ hasText: 'top-up' }).locator('.rung-title').allTextContents();
  return names.map((name) => name.replaceAll('\u00a0', ' '));
};

/** Pours the rest and closes: what is stored, as the record gives it out. */
async function finished(): Promise<{ events: PourEvent[]; record: RecordFile }> {
  await hand.finish();
  const record = await exportedRecord(page, folder);
  return { record, events: record.events.map(({ event }) => event as PourEvent) };
}

const of = <T extends PourEvent['type']>(events: readonly PourEvent[], type: T) =>
  events.filter((one): one is Extract<PourEvent, { type: T }> => one.type === type);

/** The line in hand was poured past its window: what the screen says of it, and the least correction by one press. */
async function overpoured(title: string, by: number): Promise<void> {
  await ways().waitFor();
  const seen = await glance(page);
  expect(seen).toMatchObject({ title, unit: 'g over', solid: true });
  expect(Math.abs(Number(seen.figure) - by)).toBeLessThan(0.025);
  expect(seen.choices.slice(0, 3)).toEqual(['Least correction', 'Exact correction', 'Keep and record']);
  await hand.press('Take the least correction');
  await ways().waitFor({ state: 'detached' });
}

describe('a pour on a balance at a port', () => {
  it('overpoured on its first line: the others are scaled, nothing is topped up, and the record holds what fell', async () => {
    await hand.begin(48.5);
    const first = await hand.pour(0.3);
    await overpoured(first, 0.3);
    const { events, record } = await finished();
    expect(of(events, 'correction-chosen').map((one) => one.choice)).toEqual(['least']);
    expect(of(events, 'captured').map((one) => one.verdict)).toEqual(['over', 'inside', 'inside']);
    expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside', 'inside']);
    expect(Number(record.asMade.total)).toBeGreaterThan(6.5);
    expect(hand.untrue(record)).toEqual([]);
  });

  it('overpoured on its middle line and on its last: the lines before are topped up each time', async () => {
    await leave();
    await hand.begin(52.1);
    const first = await hand.pour();
    await hand.captured();
    const second = await hand.pour(0.2);
    await overpoured(second, 0.2);
    expect(await toppedUp()).toEqual([first]);
    expect(await hand.pour()).toBe(first);
    await hand.captured();
    const third = await hand.pour(0.4);
    expect([first, second]).not.toContain(third);
    await overpoured(third, 0.4);
    expect(await toppedUp()).toEqual([first, second]);
    const { events, record } = await finished();
    expect(of(events, 'correction-chosen').map((one) => one.choice)).toEqual(['least', 'least']);
    expect(of(events, 'captured').filter((one) => one.verdict === 'over')).toHaveLength(2);
    expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside', 'inside']);
    expect(hand.untrue(record)).toEqual([]);
  });

  it('lifted, unplugged and killed in one batch: each is told, nothing is captured meanwhile, and nothing is lost', async () => {
    await leave();
    await hand.begin(50);
    const first = await hand.bottle();
    hand.fall(first.title, first.toGo / 2);
    await hand.shows(({ figure, solid }) => solid && Math.abs(Number(figure) - first.toGo / 2) < 0.025);
    instrument.controls.liftVessel();
    await notice(page).getByText('The vessel is off the balance.').waitFor();
    expect((await glance(page)).word).toBe('vessel off');
    instrument.controls.putVessel();
    await notice(page).getByText('The vessel is back').waitFor();
    const { figure } = await hand.shows(({ unit, solid }) => unit === 'g to go' && solid);
    hand.fall(first.title, Number(figure));
    await hand.captured();

    const second = await hand.bottle();
    hand.fall(second.title, second.toGo / 2);
    await hand.shows(({ solid, figure: now }) => solid && Math.abs(Number(now) - second.toGo / 2) < 0.025);
    await unplug();
    await notice(page).getByText('Balance lost').waitFor();
    expect(await glance(page)).toMatchObject({ figure: '–', word: 'no reading' });
    hand.fall(second.title, second.toGo / 2);
    await plugIn();
    await notice(page).getByText('Balance lost').waitFor({ state: 'detached' });
    await hand.captured();

    const third = await hand.bottle();
    hand.fall(third.title, third.toGo / 2);
    await hand.shows(({ solid, figure: now }) => solid && Math.abs(Number(now) - third.toGo / 2) < 0.025);
    process.kill(window.pid, 'SIGKILL');
    await window.again();
    await page.getByRole('link', { name: /^Pour/ }).click();
    const seen = await hand.shows(({ unit, solid }) => unit === 'g to go' && solid);
    expect(seen.title).toBe(third.title);
    expect(Math.abs(Number(seen.figure) - third.toGo / 2)).toBeLessThan(0.025);
    hand.fall(third.title, Number(seen.figure));
    const { events, record } = await finished();
    expect(events.map((one) => one.type).filter((type) => !/caution|confirmed|revised/.test(type))).toEqual([
      'started',
      'vessel-weighed',
      'pour-begun',
      'vessel-lifted',
      'vessel-returned',
      'captured',
      'pour-begun',
      'balance-lost',
      'balance-back',
      'captured',
      'pour-begun',
      'captured',
      'closed',
    ]);
    expect(record.batch.status).toBe('closed');
    expect(hand.untrue(record)).toEqual([]);
  });
});

async function leave(): Promise<void> {
  await page.getByRole('link', { name: /^Pour/ }).click();
  await page.getByRole('button', { name: 'Leave the bench' }).click();
  await page.getByRole('button', { name: 'Start the batch' }).waitFor();
  instrument.controls.liftVessel();
}
