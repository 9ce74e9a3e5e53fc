import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFolder, checkRecord } from '../../electron/host/documents/check.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type OpenWindow, openWindow, type WindowKind } from './open.ts';

let data: string;
let open: OpenWindow;

const begin = async (kind: WindowKind): Promise<void> => {
  open = await openWindow(kind, { data, demo: false });
  await open.page.evaluate(() => {
    location.hash = '#records';
  });
};
const main = () => open.page.getByRole('main');
const press = (name: string) => main().getByRole('button', { name, exact: true }).click();
const batches = () => open.page.getByRole('navigation', { name: 'Batches' });
const field = (name: string) => main().getByRole('textbox', { name, exact: true });
const search = () => main().getByLabel('Search');

beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'pourwright-documents-'));
  const store = openStore(data);
  fillStore(store);
  store.close();
});
afterEach(async () => {
  expect(await open.close()).toBe(0);
  rmSync(data, { recursive: true, force: true });
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
    await begin('loopback');
    const rows = batches().getByRole('link');
    await expect.poll(() => rows.count()).toBe(2);
    await open.page.keyboard.press('/');
    // A key is held back for a moment, since a scanner's code may begin with it.
    await expect.poll(() => search().evaluate((one) => one === document.activeElement)).toBe(true);
    await open.page.keyboard.type('c50');
    await batches().getByText('1 of 2 batches').waitFor();
    // Enter at once would be a scanner's: a hand takes its time.
    await open.page.waitForTimeout(200);
    await open.page.keyboard.press('Enter');
    await main().getByRole('heading', { level: 2, name: 'Rose and cedar' }).waitFor();
    await main().getByRole('table', { name: 'Lots used' }).getByText('C50').waitFor();
    await search().fill('2026-11 rose');
    await batches().getByText('2 of 2 batches').waitFor();
    await search().fill('2026-10');
    await batches().getByText('No batch has this.').waitFor();
    await search().fill('');
    await batches().getByText('2 batches', { exact: true }).waitFor();
    await search().press('ArrowDown');
    expect(await rows.first().evaluate((one) => one === document.activeElement)).toBe(true);
    await open.page.keyboard.press('ArrowUp');
    expect(await search().evaluate((one) => one === document.activeElement)).toBe(true);
  });

  it('are handed over to the browser as PDF, sheet, CSV by decimal sign, and as a folder that checks', async () => {
    await begin('loopback');
    await search().fill('C50');
    await search().press('Enter');
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

  it('are amended, never edited, and the amendment is there after a restart', async () => {
    await begin('loopback');
    await search().fill('C50');
    await search().press('Enter');
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
    expect(await open.close()).toBe(0);
    await begin('loopback');
    await search().fill('amended');
    await batches().getByText('1 of 2 batches').waitFor();
    await search().press('Enter');
    await main().getByText('The lid says cedar.', { exact: true }).waitFor();
    await main()
      .getByText(/^Ada, .*because: typed wrongly$/)
      .waitFor();
    await main().getByText('Amended by Ada, because typed wrongly: The lid says cedar.').waitFor();
    expect(await main().locator('.verified.failed').count()).toBe(0);
  });

  it('are signed once that is ticked, by a key that is shown; strength lies on a scale, the balance is told as unchecked', async () => {
    await begin('loopback');
    const signature = main().getByRole('region', { name: 'Signature' });
    await signature.getByText(/^This machine has no key to sign with yet/).waitFor();
    await signature.getByLabel('Sign records that are handed over').check();
    const key = await signature.getByLabel('Public key, Ed25519').inputValue();
    expect(Buffer.from(key, 'base64')).toHaveLength(32);
    await signature.getByText(/^This machine has a key to sign with/).waitFor();
    expect(await accessTroubles(open.page)).toEqual([]);
    await search().fill('C50');
    await search().press('Enter');
    const record = JSON.parse((await handed('JSON')).bytes.toString('utf8'));
    expect(record.signature.publicKey).toBe(key);
    expect(checkRecord(record)).toMatchObject({ ok: true, signed: true });
    await main().getByText('The balance was not checked, or not by this program.').waitFor();
    const scale = main().getByRole('img', { name: /^Strength on a scale: as made 10\.960 % ± / });
    expect(await scale.getAttribute('aria-label')).toMatch(/window [\d.]+ % to [\d.]+ %; .*its window/);
    await main()
      .getByRole('img', { name: /^Composition as made: .* % ± / })
      .waitFor();
    await main()
      .getByRole('table', { name: 'Lines' })
      .getByText(/%, .* drops$/)
      .first()
      .waitFor();
    expect(await accessTroubles(open.page)).toEqual([]);
  });

  it('are written on the desktop where its dialog says, or not at all', async () => {
    await begin('stand-in');
    await search().fill('C50');
    await search().press('Enter');
    const place = join(data, 'chosen.pdf');
    open.saveTo(place);
    await press('As-made record, PDF');
    await main().getByText(`Written to ${place}`).waitFor();
    expect(readFileSync(place).subarray(0, 5).toString('latin1')).toBe('%PDF-');
    open.saveTo(null);
    await press('JSON');
    await main().getByText('Not written.').waitFor();
  });

  it('show their trace with its capture, stand side by side, and tell where a lot went', async () => {
    await begin('loopback');
    await search().fill('C50');
    await search().press('Enter');
    const traces = main().getByRole('region', { name: 'Traces' });
    await traces.getByRole('img', { name: /^Readings of this batch/ }).waitFor();
    const drawn = await traces.locator('canvas').evaluate((canvas: HTMLCanvasElement) => {
      const { data: dots = [] } =
        canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height) ?? {};
      const verdigris = (at: number) => dots[at] === 20 && dots[at + 1] === 99 && dots[at + 2] === 86;
      return [...dots.keys()].filter((at) => at % 4 === 0 && verdigris(at)).length;
    });
    expect(drawn).toBeGreaterThan(40);
    await traces.getByLabel('Shown').selectOption({ index: 1 });
    await traces.getByText(/^52\.20 g, settled from /).waitFor();

    await search().fill('');
    await batches().getByText('2 batches', { exact: true }).waitFor();
    await main().getByLabel('Another batch of the list').selectOption({ index: 1 });
    const beside = main().getByRole('table', { name: 'Side by side' });
    await beside.getByRole('row', { name: /^poured in all 22\.20 g 0\.00 g -22\.20 g ▲/ }).waitFor();

    const lots = main().getByRole('table', { name: 'Lots used' });
    await lots.getByRole('row', { name: /C50/ }).getByRole('link', { name: 'where it went' }).click();
    const holders = main().getByRole('table', { name: 'Batches that hold C50' });
    await holders.getByRole('row', { name: /^Rose and cedar .* 20 % C50/ }).waitFor();
    await main().getByLabel('Lot', { exact: true }).fill('NONE');
    await press('Find where it went');
    await main().getByText('Check the code on the label.').waitFor();
    await main().getByLabel('Formula').selectOption({ label: 'Rose and cedar' });
    const strengths = main().getByRole('table', { name: 'Strength of its batches' });
    await strengths.getByRole('row', { name: /^1, Rose and cedar .* 10\.96 %/ }).waitFor();
    expect(await accessTroubles(open.page)).toEqual([]);
    expect(await leastWriting(open.page)).toBeGreaterThanOrEqual(13);
  });

  it('are backed up, and come back as they were at the next start', async () => {
    await begin('loopback');
    await press('Back up everything');
    const told = await main()
      .getByText(/^Written and checked, 2 batches/)
      .textContent();
    const file = told?.split(': ').at(-1) ?? '';
    await search().fill('C50');
    await search().press('Enter');
    await press('Amend');
    await field('Why').fill('after the backup');
    await field('Who').fill('Ada');
    await field('What is added').fill('Gone once restored.');
    await press('Add it to the record');
    await main().getByText('Gone once restored.', { exact: true }).waitFor();
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
      .getByText(/^A restore is waiting for the next start: 2 batches/)
      .waitFor();
    await press('Restore nothing');
    await main().getByText('Nothing is restored at the next start.').waitFor();
    expect(await main().getByText('A restore is waiting').count()).toBe(0);
    await main().getByLabel('Restore from the file').fill(file);
    await press('Check and restore');
    await main().getByText('A restore is waiting').waitFor();
    expect(await open.close()).toBe(0);
    await begin('loopback');
    await search().fill('amended');
    await batches().getByText('No batch has this.').waitFor();
    await search().fill('C50');
    await batches().getByText('1 of 2 batches').waitFor();
  });
});
