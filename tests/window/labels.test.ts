import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessTroubles } from './access.ts';
import { type OpenWindow, openWindow, type WindowKind } from './open.ts';

let data: string;
let open: OpenWindow;

const begin = async (kind: WindowKind, hash: string): Promise<void> => {
  open = await openWindow(kind, { data });
  await open.page.evaluate((to) => {
    location.hash = to;
  }, hash);
};
const main = () => open.page.getByRole('main');
const press = (name: string) => main().getByRole('button', { name, exact: true }).click();
const group = (name: string) => main().getByRole('group', { name, exact: true });
const sheet = (name: RegExp) => main().getByRole('img', { name });

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-labels-'));
  await begin('loopback', '#organ/labels:VE-06-10');
});
afterAll(() => rmSync(data, { recursive: true, force: true }));

describe('labels of a lot', () => {
  it('show bottle and lid to scale, and say what has no room before anything is printed', async () => {
    const bottle = sheet(/^Bottle labels, page 1 of 1: 1 of 24 places$/);
    await bottle.waitFor();
    expect(await bottle.evaluate((one) => one.getBoundingClientRect().width)).toBeCloseTo(
      (210 / 25.4) * 96,
      0,
    );
    await bottle.getByText('10.02 % ± 0.02 % by mass in ethanol 96 % vol').waitFor();
    await sheet(/^Lid labels/)
      .getByText('VE-06-10')
      .waitFor();
    await main().getByText('The name has no room: the lid says “Vetiver oil”.').waitFor();
    const side = open.page.locator('.labels-side');
    expect(await side.evaluate((one) => one.scrollWidth - one.clientWidth)).toBe(0);
    expect(await accessTroubles(open.page)).toEqual([]);
  });

  it('take maker, start, copies and a layout of one’s own, refuse one that cannot be', async () => {
    await main().getByLabel('Maker').fill('Lindenhof workshop');
    await sheet(/^Bottle labels/)
      .getByText('Lindenhof workshop')
      .waitFor();
    await group('Bottle').getByLabel('Begin at place').fill('23');
    await group('Bottle').getByLabel('Copies of each').fill('3');
    await sheet(/^Bottle labels, page 1 of 2: 2 of 24 places$/).waitFor();
    await group('Bottle').getByLabel('Begin at place').fill('25');
    await main().getByText('A whole number from 1 to 24.').waitFor();
    await group('Bottle').getByRole('button', { name: 'Change this layout' }).click();
    const form = main().getByRole('form', { name: 'Layout' });
    await expect
      .poll(() => form.getByLabel('Name').evaluate((one) => one === document.activeElement))
      .toBe(true);
    await form.getByLabel('Name').fill('Bench sheet');
    await form.getByLabel('Columns', { exact: true }).fill('4');
    await press('Keep this layout');
    await form.getByText('280.0 mm are needed, 210 mm are there').waitFor();
    await form.getByLabel('Label width, mm').fill('50,5');
    expect(await accessTroubles(open.page)).toEqual([]);
    await press('Keep this layout');
    await sheet(/^Bottle labels, page 1 of 1: 3 of 32 places$/).waitFor();
    await main().getByText('Further lots').click();
    await main().getByLabel('Code or name').fill('lavender');
    await main()
      .getByRole('button', { name: /^LA-33/ })
      .click();
    await sheet(/^Bottle labels, page 1 of 1: 6 of 32 places$/).waitFor();
    expect(await open.page.evaluate(() => location.hash)).toBe('#organ/labels%3AVE-06-10%2CLA-33');
  });

  it('come down as PDF under the name of their lot', async () => {
    await open.page.evaluate(() => {
      location.hash = '#organ/labels:LA-33';
    });
    await sheet(/^Bottle labels, page 1 of 1: 3 of 32 places$/).waitFor();
    const [file] = await Promise.all([open.page.waitForEvent('download'), press('Save as PDF')]);
    expect(file.suggestedFilename()).toMatch(/-lavender-oil-labels\.pdf$/);
    await file.saveAs(join(data, 'labels.pdf'));
    expect(readFileSync(join(data, 'labels.pdf')).subarray(0, 5).toString('latin1')).toBe('%PDF-');
    await main().getByText('Handed to the browser as').waitFor();
  });

  it('open for printing in a tab of their own, the same PDF, and to this browser alone', async () => {
    const [tab] = await Promise.all([open.page.waitForEvent('popup'), press('Print')]);
    const again = main().getByRole('link', { name: 'Open it again' });
    const address = new URL((await again.getAttribute('href')) ?? '', open.page.url()).href;
    const answer = await open.page.request.get(address);
    expect(answer.headers()['content-type']).toBe('application/pdf');
    expect((await answer.body()).length).toBe(readFileSync(join(data, 'labels.pdf')).length);
    expect((await fetch(address)).status).toBe(403);
    await tab.close();
  });

  it('keep their settings over a restart, are written on the desktop where its dialog says, and go to its viewer', async () => {
    expect(await open.close()).toBe(0);
    await begin('stand-in', '#organ/labels:LA-33');
    await sheet(/^Bottle labels, page 1 of 1: 3 of 32 places$/).waitFor();
    expect(await group('Bottle').getByLabel('Layout').locator('option:checked').textContent()).toBe(
      'Bench sheet',
    );
    const chosen = join(data, 'chosen.pdf');
    open.saveTo(chosen);
    await press('Save as PDF');
    await main().getByText(`Written to ${chosen}`).waitFor();
    expect(readFileSync(chosen).subarray(0, 5).toString('latin1')).toBe('%PDF-');
    open.saveTo(null);
    await press('Save as PDF');
    await main().getByText('Not written.').waitFor();
    await press('Print');
    await main().getByText('is open in the viewer of this desktop').waitFor();
    expect(open.told).toContainEqual(
      expect.objectContaining({ told: 'opened', path: expect.stringMatching(/-lavender-oil-labels\.pdf$/) }),
    );
    expect(await open.close()).toBe(0);
  });
});
