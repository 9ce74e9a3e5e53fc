import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { checkFolder, checkRecord } from '../../electron/host/documents/check.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { addDisturbed } from '../unit/store/disturbed.ts';
import { fillStore } from '../unit/store/given.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

let data: string;
let open: LoopbackWindow;

const main = () => open.page.getByRole('main');
const press = (name: string) => main().getByRole('button', { name, exact: true }).click();
const batches = () => open.page.getByRole('navigation', { name: 'Batches' });
const field = (name: string) => main().getByRole('textbox', { name, exact: true });
const search = () => main().getByLabel('Search');
const goTo = (hash: string) =>
  open.page.evaluate((to) => {
    location.hash = to;
  }, hash);
const openRecord = async (batch: string, name: string): Promise<void> => {
  await goTo(`#records/${batch}`);
  await main().getByRole('heading', { level: 2, name }).waitFor();
};

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-documents-'));
  const store = openStore(data);
  fillStore(store);
  addDisturbed(store);
  store.close();
  open = await openLoopback({ data, demo: false });
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
});
/* Each begins at the list, with nothing searched and no record open. */
beforeEach(async () => {
  await goTo('#records');
  await search().fill('');
  await batches().getByText('3 batches', { exact: true }).waitFor();
});

/** Presses a button that hands a file over, and reads what came. */
async function handed(name: string): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const [file] = await Promise.all([open.page.waitForEvent('download'), press(name)]);
  const place = join(data, 'handed');
  await file.saveAs(place);
  await main().getByText(`Handed to the browser as ${file.suggestedFilename()}`).waitFor();
  return { name: file.suggestedFilename(), bytes: readFileSync(place) };
}

describe('records in the window', () => {
  it('are found by lot, material and day as one types, by keys alone', async () => {
    const rows = batches().getByRole('link');
    await expect.poll(() => rows.count()).toBe(3);
    await open.page.keyboard.press('/');
    // A key is held back for a moment, since a scanner's code may begin with it.
    await expect.poll(() => search().evaluate((one) => one === document.activeElement)).toBe(true);
    await open.page.keyboard.type('c50 voided');
    await batches().getByText('1 of 3 batches').waitFor();
    // Enter at once would be a scanner's: a hand takes its time.
    await open.page.waitForTimeout(200);
    await open.page.keyboard.press('Enter');
    await main().getByRole('heading', { level: 2, name: 'Rose and cedar' }).waitFor();
    await main().getByRole('table', { name: 'Lots used' }).getByText('C50').waitFor();
    await search().fill('2026-11-25 rose');
    await batches().getByText('2 of 3 batches').waitFor();
    await search().fill('2026-10');
    await batches().getByText('No batch has this.').waitFor();
    await search().fill('');
    await batches().getByText('3 batches', { exact: true }).waitFor();
    await search().press('ArrowDown');
    expect(await rows.first().evaluate((one) => one === document.activeElement)).toBe(true);
    await open.page.keyboard.press('ArrowUp');
    expect(await search().evaluate((one) => one === document.activeElement)).toBe(true);
  });

  it('are handed over to the browser as PDF, sheet, CSV by decimal sign, and as a folder that checks', async () => {
    await openRecord('whole', 'Rose and cedar');
    const pdf = await handed('As-made record, PDF');
    expect(pdf.name).toBe('2026-11-25-rose-and-cedar-as-made.pdf');
    expect(pdf.bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    expect((await handed('Batch sheet, PDF')).bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    expect((await handed('CSV')).bytes.toString('utf8')).toContain('total (g),22.2');
    await main().getByLabel('comma, 1,5').check();
    expect((await handed('CSV')).bytes.toString('utf8')).toContain('total (g);22,2');
    const folder = await handed('Batch folder, zip');
    expect(folder.name).toBe('2026-11-25-rose-and-cedar.zip');
    expect(checkFolder(folder.bytes)).toMatchObject({ ok: true });
  });

  it('show what disturbed a pour on its trace, by number and in words', async () => {
    await openRecord('uneasy', 'Uneasy rose');
    const traces = main().getByRole('region', { name: 'Traces' });
    await traces.getByRole('img', { name: /^Readings of this batch/ }).waitFor();
    const dotsOf = (token: string): Promise<number> =>
      traces.locator('canvas').evaluate((canvas: HTMLCanvasElement, name) => {
        const probe = document.createElement('span');
        probe.style.color = `var(--${name})`;
        document.body.append(probe);
        const [r, g, b] = getComputedStyle(probe).color.match(/\d+/g)?.map(Number) ?? [];
        probe.remove();
        const { data: dots = [] } =
          canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height) ?? {};
        let found = 0;
        for (let at = 0; at < dots.length; at += 4)
          if (dots[at] === r && dots[at + 1] === g && dots[at + 2] === b) found += 1;
        return found;
      }, token);
    expect(await dotsOf('madder')).toBeGreaterThan(200);
    expect(await dotsOf('verdigris')).toBeGreaterThan(40);
    const told = traces.getByRole('region', { name: 'What disturbed it' }).getByRole('listitem');
    expect((await told.allTextContents()).map((one) => one.replace(/^\d\d:\d\d:\d\d/, ''))).toEqual([
      '–1 the reading went to 58.10 g and came back',
      '50.40 g2 Vessel lifted',
      '50.41 g3 Vessel back, 0.01 g off',
      '–4 Balance lost: its port closed',
      '–5 Balance back',
      '0.00 g6 Display set from 51.20 g to 0.00 g',
    ]);
    await traces.getByLabel('Shown').selectOption({ index: 2 });
    await traces.getByText(/^4\.79 g, settled from /).waitFor();
    await told.first().waitFor({ state: 'detached' });
    expect(await dotsOf('madder')).toBe(0);
    expect(await accessTroubles(open.page)).toEqual([]);
  });

  it('stand side by side, and tell where a lot went and how strong a formula became', async () => {
    await openRecord('whole', 'Rose and cedar');
    await main()
      .getByLabel('Another batch of the list')
      .selectOption({ label: 'Uneasy rose, 26 Nov 2026, 09:00' });
    const beside = main().getByRole('table', { name: 'Side by side' });
    await beside.getByRole('row', { name: /^poured in all 22\.20 g 19\.99 g −2\.21 g ▲/ }).waitFor();
    const lots = main().getByRole('table', { name: 'Lots used' });
    await lots.getByRole('row', { name: /C50/ }).getByRole('link', { name: 'where it went' }).click();
    const holders = main().getByRole('table', { name: 'Batches that hold C50' });
    await holders.getByRole('row', { name: /^Rose and cedar .* 20 % C50/ }).waitFor();
    await main().getByLabel('Lot', { exact: true }).fill('NONE');
    await press('Find where it went');
    await main().getByText('Check the code on the label.').waitFor();
    await main().getByLabel('Formula').selectOption({ label: 'Rose and cedar' });
    const strengths = main().getByRole('table', { name: 'Strength of its batches' });
    await strengths.getByRole('row', { name: /^1, Rose and cedar .* 10\.960 %/ }).waitFor();
    await strengths.getByRole('row', { name: /^2, Uneasy rose .* 10\.961 %/ }).waitFor();
    await main()
      .getByRole('img', { name: /^Strength as made of each batch/ })
      .waitFor();
    expect(await accessTroubles(open.page)).toEqual([]);
    expect(await leastWriting(open.page)).toBeGreaterThanOrEqual(13);
  });

  it('are signed once that is ticked, by a key that is shown and copied; strength and composition are drawn', async () => {
    const signature = main().getByRole('region', { name: 'Signature' });
    await signature.getByText(/^This machine has no key to sign with yet/).waitFor();
    await signature.getByLabel('Sign records that are handed over').check();
    const key = await signature.getByLabel('Public key, Ed25519').inputValue();
    expect(Buffer.from(key, 'base64')).toHaveLength(32);
    await signature.getByText(/^This machine has a key to sign with/).waitFor();
    await open.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await signature.getByRole('button', { name: 'Copy the public key' }).click();
    await signature.getByText('Copied.').waitFor();
    expect(await open.page.evaluate(() => navigator.clipboard.readText())).toBe(key);
    expect(await accessTroubles(open.page)).toEqual([]);
    await openRecord('whole', 'Rose and cedar');
    const record = JSON.parse((await handed('JSON')).bytes.toString('utf8'));
    expect(record.signature.publicKey).toBe(key);
    expect(checkRecord(record)).toMatchObject({ ok: true, signed: true });
    await main().getByText('The balance was not checked, or not by this program.').waitFor();
    const scale = main().getByRole('img', { name: /^Strength on a scale: as made 10\.960 % ± / });
    expect(await scale.getAttribute('aria-label')).toMatch(/window [\d.]+ % to [\d.]+ %; .*its window/);
    const picture = main().getByRole('region', { name: 'Composition' });
    await picture.getByRole('img', { name: /^Composition as made: .* % ± / }).waitFor();
    expect(await picture.locator('.part-numbers span').allTextContents()).toEqual(['1', '2', '3', '4']);
    expect(await picture.locator('.part-number').allTextContents()).toEqual(['1', '2', '3', '4']);
    await main()
      .getByRole('table', { name: 'Lines' })
      .getByText(/%, .* drops$/)
      .first()
      .waitFor();
    expect(await accessTroubles(open.page)).toEqual([]);
  });

  it('are amended, never edited; a backup brings back what was before, at the next start', async () => {
    await press('Back up everything');
    const told = await main()
      .getByText(/^Written and checked, 3 batches/)
      .textContent();
    const file = told?.split(': ').at(-1) ?? '';
    await openRecord('whole', 'Rose and cedar');
    await press('Amend');
    await field('What is added').fill('The lid says cedar.');
    await press('Add it to the record');
    await main().getByText('Say why the record is amended.').waitFor();
    expect(await field('Why').getAttribute('aria-invalid')).toBe('true');
    expect(await accessTroubles(open.page)).toEqual([]);
    expect(await leastWriting(open.page)).toBeGreaterThanOrEqual(13);
    await field('Who').fill('Ada');
    await field('Why').fill('typed wrongly');
    await press('Add it to the record');
    await main().getByText('The lid says cedar.', { exact: true }).waitFor();
    expect(await open.again()).toBe(0);
    await goTo('#records');
    await search().fill('amended');
    await batches().getByText('1 of 3 batches').waitFor();
    await search().press('Enter');
    await main().getByText('The lid says cedar.', { exact: true }).waitFor();
    await main()
      .getByText(/^Ada, .*because: typed wrongly$/)
      .waitFor();
    for (const name of ['Not as planned', 'Events'])
      await main()
        .getByRole('region', { name })
        .getByText('Amended by Ada, because typed wrongly: The lid says cedar.')
        .waitFor();
    expect(await main().locator('.verified.failed').count()).toBe(0);

    await main().getByRole('link', { name: 'Over all batches' }).click();
    await main().getByLabel('Restore from the file').fill(join(data, 'none.sqlite'));
    await press('Check and restore');
    await main()
      .getByText(/no such file/)
      .waitFor();
    await main().getByLabel('Restore from the file').fill(file);
    await press('Check and restore');
    await main()
      .getByText(/at the next start; that one is set aside/)
      .waitFor();
    await open.page.reload();
    await main()
      .getByText(/^A restore is waiting for the next start: 3 batches/)
      .waitFor();
    await press('Restore nothing');
    await main().getByText('Nothing is restored at the next start.').waitFor();
    expect(await main().getByText('A restore is waiting').count()).toBe(0);
    await main().getByLabel('Restore from the file').fill(file);
    await press('Check and restore');
    await main().getByText('A restore is waiting').waitFor();
    expect(await open.again()).toBe(0);
    await goTo('#records');
    await search().fill('amended');
    await batches().getByText('No batch has this.').waitFor();
    await search().fill('C50');
    await batches().getByText('2 of 3 batches').waitFor();
  });
});
