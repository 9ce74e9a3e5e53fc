import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { servePty } from '../../drivers/simulated/pty.ts';
import { served } from '../wire/pan.ts';
import { accessTroubles, leastWriting } from './access.ts';
import { type LoopbackWindow, openLoopback } from './open.ts';

let folder: string;
let open: LoopbackWindow;
let page: Page;

const opened = async () => {
  open = await openLoopback({ data: join(folder, 'data') });
  page = open.page;
  page.setDefaultTimeout(15_000);
};
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-care-window-'));
  await opened();
});
afterAll(async () => {
  expect(await open.close()).toBe(0);
  rmSync(folder, { recursive: true, force: true });
});

const tab = (name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
const main = () => page.getByRole('main');
const press = (name: string | RegExp) => main().getByRole('button', { name }).click();

async function use(way: string): Promise<void> {
  await tab('Balance');
  await page.getByRole('radio', { name: way }).check();
  await press('Use this balance');
}

async function toCheck(title: string): Promise<void> {
  await tab('Balance');
  await page
    .getByRole('navigation', { name: 'Balance', exact: true })
    .getByRole('link', { name: 'Care' })
    .click();
  await page
    .getByRole('navigation', { name: 'Care of the balance' })
    .getByRole('link', { name: title })
    .click();
  await main().getByRole('heading', { name: title }).waitFor();
}

/** The pedal does the primary once it can be done: again where the figure moved at that very moment. */
async function pedal(label: string): Promise<void> {
  const at = () => main().locator('.check-step p, .check-end h2').allTextContents();
  await main().locator('.bar').getByRole('button', { name: label }).waitFor();
  const before = (await at()).join();
  const able = main().locator('.bar').getByRole('button', { name: label, disabled: false });
  const goesOn = async () => {
    if ((await able.count()) > 0) await page.keyboard.press('PageDown');
    return (await at()).join();
  };
  await expect.poll(goesOn, { timeout: 15_000 }).not.toBe(before);
}

const step = (says: string | RegExp) => main().locator('.check-step').getByText(says).waitFor();

const kept = (row: RegExp) => main().getByRole('row', { name: row }).first().waitFor();

/** A check with the weights on the screen, from its form to what came of it. */
async function begun(title: string, middle = async () => {}): Promise<void> {
  await toCheck(title);
  await middle();
  await press('Begin');
  await pedal('The pan is empty, at zero');
}

const onAndOff = async (g: string): Promise<void> => {
  await step(/^Put /);
  await press(`${g} g on`);
  await step('Take it off');
  await press('Take off');
};

/** A daily check with the weights on the screen, from its form back to it. */
async function daily(wrong: boolean, ends: string, middle = async () => {}): Promise<void> {
  await begun('Daily check');
  await step('Put 100 g, class F2 on the middle');
  await middle();
  if (wrong) await page.getByLabel('Adjusted wrongly, by 0.1 %').check();
  await onAndOff('100');
  await main().getByRole('heading', { name: ends }).waitFor();
}

describe('a balance lost in the middle of a check, and a program that is killed in it', () => {
  it('is said; from the last zero on all is taken anew; what was taken is there after a restart', async () => {
    const { instrument, port } = await served(onTestFinished);
    const path = join(folder, 'port');
    symlinkSync(port.path, path);
    await tab('Balance');
    await page.getByLabel('Balance on a serial port').check();
    await page.getByLabel('or another path').fill(path);
    await press('Use this balance');
    await page.getByRole('region', { name: 'The balance now' }).getByText('live').waitFor();
    await toCheck('Daily check');
    await press('Begin');
    await pedal('The pan is empty, at zero');
    instrument.controls.putVessel(100);
    await step('Take it off');
    unlinkSync(path);
    await port.close();
    const alert = page.getByRole('alert').getByText('Balance lost');
    await alert.waitFor();
    expect(await main().locator('.taken li[data-void=true]').count()).toBe(2);
    instrument.controls.liftVessel();
    const again = await servePty(instrument);
    onTestFinished(() => again.close());
    symlinkSync(again.path, path);
    await pedal('The pan is empty, at zero');
    await step('Put 100 g, class F2');
    await alert.waitFor({ state: 'hidden' });
    // From here on time runs faster: what comes is poured on the simulated balance.
    expect(await open.again({ data: join(folder, 'data'), pace: 12 }, 'SIGKILL')).toBe(-1);
    await toCheck('Daily check');
    await kept(/stopped Stopped after 3 figures/);
    await press(/^Figures/);
    await kept(/weight on 100\.00 g does not count: balance lost/);
  });
});

describe('a daily check', () => {
  it('guides from zero to zero, passes, and is kept', async () => {
    await use('Simulated balance');
    await tab('Pour');
    const due = page.getByRole('region', { name: 'Check of the balance' });
    await due.getByText('never checked with a check weight').waitFor();
    await daily(false, 'It passes.', async () => {
      await main().getByText('at 100 g a balance of class II').waitFor();
      expect(await accessTroubles(page)).toEqual([]);
    });
    expect(await leastWriting(page)).toBeGreaterThanOrEqual(13);
    await pedal('Back to the checks');
    await kept(/pass 100 g, class F2, read (99\.9|100\.0)/);
    await tab('Pour');
    await main().getByRole('button', { name: 'Start the batch' }).waitFor();
    await expect.poll(() => due.count()).toBe(0);
  });
});

describe('eccentricity, linearity and the smallest drop', () => {
  it('are led through from place to place, from weight to weight, from drop to drop', async () => {
    await begun('Eccentricity');
    await step('Put 70 g');
    await press('70 g on');
    await pedal('It rests there');
    for (const place of ['front left', 'front right', 'back right', 'back left']) {
      await step(`Move it to the ${place}`);
      await press('Take off');
      await main()
        .locator('.face .big')
        .getByText(/^-?0\.0\d$/)
        .waitFor();
      await press('70 g on');
      await pedal('It rests there');
    }
    await step('Take it off');
    await press('Take off');
    await main()
      .getByText(/^(69\.9|70\.0)\d g at four corners: at most .* off the middle, limit ± 0\.02 g/)
      .waitFor();
    await pedal('Back to the checks');

    await begun('Linearity', () => page.getByLabel(/^Loads, g/).fill('10, 100 + 50'));
    for (const g of ['10', '150']) await onAndOff(g);
    await main()
      .getByText(/^2 loads from 10 to 150 g; furthest at/)
      .waitFor();
    await kept(/^100 \+ 50 g, class F2 .* ± 0\.02 g/);
    await pedal('Back to the checks');

    await toCheck('Smallest drop seen');
    await page.getByRole('textbox', { name: 'Drops' }).fill('5');
    await press('Begin');
    await press('Vessel on');
    await step('Let 5 drops fall');
    const risen = async () =>
      Number(/^[+-]?[\d.]+/.exec((await main().locator('.check-watch').textContent()) ?? '')?.[0]);
    for (let n = 1; n <= 5; n += 1) {
      const before = await risen();
      await press('One drop');
      await expect.poll(risen).toBeGreaterThan(before + 0.015);
      await main().locator('.face-word').getByText('settled').waitFor();
    }
    await pedal('All 5 have fallen');
    await main()
      .getByText(/^5 drops of 2\d\.\d mg on average: 5 seen as steps/)
      .waitFor();
    await pedal('Back to the checks');
  });
});

describe('repeatability', () => {
  it('measures an s that makes lines of a plan less sure, and says where s comes from', async () => {
    const unsureNow = () => main().locator('.sureness:not(.sure)').count();
    const unsure = async () => {
      await tab('Pour');
      await page.getByRole('radio', { name: /Hedge bank, trial 4/ }).check();
      await page.getByLabel('Batch size, g').fill('60');
      await main()
        .getByText(/lines, 60(\.0+)? g in all/)
        .waitFor();
      return unsureNow();
    };
    await use('Typed by hand');
    const before = await unsure();
    await toCheck('Repeatability');
    await page.getByLabel('Weighings').selectOption('5');
    await press('Begin');
    const type = async (figure: string, then: string) => {
      await page.getByLabel('Figure on the display').fill(figure);
      await page.keyboard.press('Enter');
      await main().locator('.taken li, .check-end').getByText(then).first().waitFor();
    };
    await page.getByLabel('Figure on the display').fill('0.00');
    await page.keyboard.press('Enter');
    await pedal('The pan is empty, at zero');
    for (const [n, net] of ['50.00', '50.06', '49.95', '50.00', '50.04'].entries()) {
      await type(net, `weighing ${n + 1}`);
      await type('0.00', n === 4 ? 's = 0.042 g (standard uncertainty 0.015 g)' : `zero after ${n + 1}`);
    }
    await main().getByText('least weight 2000 max(s, 0.41 d)').waitFor();
    await pedal('Back to the checks');
    await unsure();
    await expect.poll(unsureNow).toBeGreaterThan(before);
    await tab('Balance');
    await page.getByRole('link', { name: 'Care' }).click();
    await page.getByRole('link', { name: /This balance/ }).click();
    await main()
      .getByRole('row', { name: /Repeatability s 0\.042\d* g latest repeatability run/ })
      .waitFor();
  });
});

describe('a check that fails', () => {
  it('is seen on Pour, is told in the record of the next batch, and is there after a restart', async () => {
    await use('Simulated balance');
    await daily(true, 'It fails.');
    await pedal('Back to the checks');
    await page.getByRole('img', { name: /error over time/ }).waitFor();
    await main()
      .getByRole('button', { name: /^Figures/ })
      .first()
      .click();
    await kept(/weight on 100\.(09|1\d) g/);
    expect(await accessTroubles(page)).toEqual([]);
    await tab('Pour');
    await page
      .getByRole('region', { name: 'Check of the balance' })
      .getByText(/Daily check failed.*error \+0\.(09|1\d) g, limit ± 0\.02 g/)
      .waitFor();
    await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
    await press('Start the batch');
    await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
    await page.locator('.bench-head').getByText('check failed').waitFor();
    await tab('Records');
    await main()
      .getByRole('link', { name: /Vetiver/ })
      .first()
      .click();
    await main()
      .locator('.checked-by.fail')
      .getByText(/Daily check failed/)
      .waitFor();
    await tab('Pour');
    await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
    await page.getByRole('button', { name: 'Abandon the batch' }).click();
    await page.getByLabel('Reason, for the record').fill('tried');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Leave the bench' }).click();
    expect(await open.again({ data: join(folder, 'data'), pace: 120 })).toBe(0);
    await toCheck('Daily check');
    await expect.poll(() => main().locator('.past td.when').count()).toBe(2);
    await kept(/fail 100 g, class F2, read 100\.(09|1\d) g/);
  });

  it('stands in the way of no other: drift is watched for ten minutes of the balance', async () => {
    await toCheck('Drift');
    await press('Begin');
    await step('Empty the pan.');
    await tab('Pour');
    const due = page.getByRole('region', { name: 'Check of the balance' });
    await due.getByText('Drift, step 1 of 3, is under way on this bench.').waitFor();
    await due.getByRole('link', { name: 'Go on with the check' }).click();
    await pedal('The pan is empty, at zero');
    await press('50 g on');
    await main()
      .getByText(/^10\.0 minutes under load: at most 0\.\d\d g/)
      .waitFor();
    await main().getByText('OIML R 76-1, 3.9.4.1').waitFor();
    await pedal('Back to the checks');
    await kept(/10\.0 minutes under load/);
  });
});
