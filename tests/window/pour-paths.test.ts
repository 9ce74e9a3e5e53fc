import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect, it, onTestFinished } from 'vitest';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { served } from '../wire/pan.ts';
import { type Glance, glance, pedal, takeBottle } from './hand.ts';
import { openWindow } from './open.ts';
import { eventsStored } from './stored.ts';

/** Past the edge of its window by so much a line is overpoured, g. */
const SPILL = 0.02;
const cent = (mass: number): number => Math.round(mass * 100) / 100;

/** The upper edge of the pour in hand, g, as the screen tells it. */
async function upperEdge(page: Page): Promise<number> {
  const told = await page.locator('.names p').textContent();
  return Number(/window [\d.]+ – ([\d.]+) g/.exec(told ?? '')?.[1]);
}

const seenWhen = async (page: Page, is: (seen: Glance) => boolean): Promise<Glance> => {
  await expect.poll(async () => is(await glance(page)), { timeout: 15_000, interval: 40 }).toBe(true);
  return glance(page);
};

/** Pours the line in hand at once: to its aim, or past its window. */
async function dose(page: Page, { controls }: Instrument, spills: boolean): Promise<void> {
  const seen = await seenWhen(page, ({ unit, solid }) => unit === 'g to go' && solid);
  controls.addDrop(spills ? cent((await upperEdge(page)) + SPILL) : Number(seen.figure));
  await page.getByRole('button', { name: 'Settle' }).waitFor({ state: 'detached' });
}

/** The vessel leaves the pan in the middle of a pour: said at once, and nothing is captured of it. */
async function liftAndPutBack(page: Page, { controls }: Instrument): Promise<void> {
  await seenWhen(page, ({ unit, solid }) => unit === 'g to go' && solid);
  controls.liftVessel();
  await page.getByRole('alert').getByText('The vessel is off the balance.').waitFor();
  controls.putVessel();
  await page.getByText('The vessel is back').waitFor();
}

it('overpours on the first, a middle and the last line, with the vessel lifted between, end in a true record', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-paths-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const { instrument, port } = await served(onTestFinished);
  const window = await openWindow('loopback', { data: join(folder, 'data') });
  const { page } = window;
  page.setDefaultTimeout(15_000);
  await page.getByRole('link', { name: 'Balance', exact: true }).click();
  await page.getByLabel('Balance on a serial port').check();
  await page.getByLabel('or another path').fill(port.path);
  await page.getByRole('button', { name: 'Use this balance' }).click();
  await page.getByRole('region', { name: 'The balance now' }).getByText('live').waitFor();
  await page.getByRole('link', { name: 'Pour', exact: true }).click();
  await page.getByRole('radio', { name: /Hedge bank/ }).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  instrument.controls.putVessel(48.5);
  expect(await pedal(page)).toBe('Take the vessel');

  /* Lines that are spilt, counted from the first bottle; "last" is the one that fills to the total. */
  let bottles = 0;
  let overpours = 0;
  let lastSpilt = false;
  for (;;) {
    const seen = await seenWhen(
      page,
      ({ actions, choices }) => choices.length > 0 || actions[0]?.enabled === true,
    );
    const label = seen.actions[0]?.label ?? '';
    if (label === 'Open the record') break;
    if (seen.choices.length > 0) {
      overpours += 1;
      expect(seen.choices.slice(0, 3)).toEqual(['Least correction', 'Exact correction', 'Keep and record']);
      await page.keyboard.press('Space');
      await page.getByRole('region', { name: 'How to go on' }).waitFor({ state: 'detached' });
    } else if (label === 'Settle') {
      bottles += 1;
      if (bottles === 2) await liftAndPutBack(page, instrument);
      const last: boolean = !lastSpilt && /^ethanol/i.test(seen.title);
      lastSpilt ||= last;
      await dose(page, instrument, bottles === 1 || bottles === 4 || last);
    } else if (label === 'Close the batch') await pedal(page);
    else await takeBottle(page);
  }
  await page.getByRole('button', { name: 'Open the record' }).click();
  await page.locator('.verified').waitFor();
  expect(await window.close()).toBe(0);

  expect(overpours).toBe(3);
  const events = eventsStored(folder);
  const types = events.map((one) => one.type);
  expect(types.filter((type) => type === 'correction-chosen')).toHaveLength(3);
  expect(types.filter((type) => type === 'vessel-lifted')).toHaveLength(1);
  expect(types.indexOf('vessel-returned')).toBeGreaterThan(types.indexOf('vessel-lifted'));
  expect(types.at(-1)).toBe('closed');
  const closed = JSON.parse(events.at(-1)?.body ?? '{}') as { gross: string };
  const inside = instrument.controls.truth().contents;
  expect(Math.abs(Number(closed.gross) - 48.5 - inside)).toBeLessThanOrEqual(0.02);
}, 150_000);
