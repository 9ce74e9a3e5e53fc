import type { Page } from 'playwright-core';

/** What a person sees of Pour at one glance. */
export interface Glance {
  readonly figure: string;
  readonly unit: string;
  readonly word: string;
  readonly solid: boolean;
  readonly title: string;
  readonly choices: readonly string[];
  readonly actions: readonly { readonly label: string; readonly enabled: boolean }[];
}

/** Reads the screen as it stands. */
export function glance(page: Page): Promise<Glance> {
  return page.evaluate(() => {
    const text = (selector: string): string => document.querySelector(selector)?.textContent?.trim() ?? '';
    const texts = (selector: string): string[] =>
      [...document.querySelectorAll(selector)].map((one) => one.textContent?.trim() ?? '');
    const labelOf = (button: Element): string =>
      [...button.childNodes]
        .filter((node) => node.nodeType === Node.TEXT_NODE)
        .map((node) => node.textContent ?? '')
        .join('')
        .trim();
    return {
      figure: text('.face .big'),
      unit: text('.face-unit'),
      word: text('.face-word'),
      solid: document.querySelector('.face .big')?.getAttribute('data-drawn') === 'solid',
      title: text('.names h2'),
      choices: texts('.choice-title'),
      actions: [...document.querySelectorAll('.bar-actions button')].map((button) => ({
        label: labelOf(button),
        enabled: !button.hasAttribute('disabled'),
      })),
    };
  });
}

/** Presses a pedal once its first action can be done. @returns the label of what it did */
export async function pedal(page: Page, key = 'Space'): Promise<string> {
  const end = Date.now() + 15_000;
  for (;;) {
    const [first] = (await glance(page)).actions;
    if (first?.enabled === true) {
      await page.keyboard.press(key);
      return first.label;
    }
    if (Date.now() > end) throw new Error(`The pedal can do nothing: ${JSON.stringify(await glance(page))}`);
    await page.waitForTimeout(LOOK_EVERY_MS);
  }
}

/** Waits until this action of the bench can be done. */
export const untilAble = (page: Page, label: string): Promise<void> =>
  page
    .locator('.bar-actions')
    .getByRole('button', { name: label, disabled: false })
    .waitFor({ timeout: 15_000 });

/** Goes to Pour and starts the dilution of the demo workshop. */
export async function startDilution(page: Page): Promise<void> {
  await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Pour' }).click();
  await page.getByRole('radio', { name: /Vetiver, dilution/ }).check();
  await page.getByRole('button', { name: 'Start the batch' }).click();
  await page.getByRole('button', { name: 'Take the vessel' }).waitFor();
}

/** Takes the bottle that is asked for by the pedal: what is to be heeded first, then the bottle. */
export async function takeBottle(page: Page, key = 'Space'): Promise<void> {
  await page
    .getByRole('button', { name: 'Right bottle in hand' })
    .or(page.getByRole('button', { name: /heeded/i }))
    .first()
    .waitFor();
  while (/heeded/i.test(await pedal(page, key)))
    await page
      .getByRole('button', { name: /heeded/i })
      .and(page.locator(':enabled'))
      .waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Right bottle in hand' }).waitFor({ state: 'detached' });
}

/** What the hand did, in order. */
export interface Deeds {
  readonly lines: string[];
  /** The choices that were offered at each overpour. */
  readonly offered: (readonly string[])[];
  drops: number;
}

export interface HandOptions {
  /** Name of the line that gets drops too many, once. */
  readonly spill: string;
  /** Stops as soon as this says so; the batch is then left as it is. */
  readonly until?: (seen: Glance) => boolean;
  /** Time for the whole pour, in ms. */
  readonly limit: number;
  /** Pours nothing in a stream: how much falls then hangs on no time at all. */
  readonly byDrops?: boolean;
}

/** Flow of the squeezed pipette, and of a solvent from its bottle, in g/s. */
const PIPETTE = 0.5;
const BOTTLE = 2.5;
/** Less than this is left to drops, in g; and what a drop is taken for where the program counts none. */
const BY_DROPS_G = 0.25;
const UNCOUNTED_DROP_G = 0.02;
/** A squeeze aims at this share of what is to go, since a hand is late. */
const CAREFUL = 0.7;
/** What falls in drops alone is counted, so little is held back. */
const CAREFUL_BY_DROPS = 0.9;
const LOOK_EVERY_MS = 40;
/** A press that nothing came of is given again after so long, so many times in all. */
const PRESS_AGAIN_MS = 2000;
const PRESSES = 4;

class Hand {
  readonly #page: Page;
  readonly #options: HandOptions;
  readonly deeds: Deeds = { lines: [], offered: [], drops: 0 };
  #spilt = false;
  #vesselOn = false;

  constructor(page: Page, options: HandOptions) {
    this.#page = page;
    this.#options = options;
  }

  async #squeeze(ms: number): Promise<void> {
    await this.#page.keyboard.down('f');
    await this.#page.waitForTimeout(ms);
    await this.#page.keyboard.up('f');
  }

  async #drip(count: number): Promise<void> {
    for (let n = 0; n < count; n += 1) await this.#page.keyboard.press('d');
    this.deeds.drops += count;
  }

  /** Pours some of what is to go once the figure is solid, then waits until the balance has felt it. */
  async #pour(seen: Glance): Promise<void> {
    if (!seen.solid || seen.unit !== 'g to go') return;
    const toGo = Number(seen.figure);
    const counted = /^(\d+) drops?$/.exec(seen.word)?.[1];
    const byDrops = this.#options.byDrops === true;
    if (toGo > BY_DROPS_G && !byDrops)
      await this.#squeeze(((toGo * CAREFUL) / (/^ethanol/i.test(seen.title) ? BOTTLE : PIPETTE)) * 1000);
    else if (!this.#spilt && seen.title === this.#options.spill) {
      this.#spilt = true;
      await this.#drip(Number(counted) + 6);
    } else
      await this.#drip(
        Math.max(
          1,
          Math.floor(
            (counted === undefined ? toGo / UNCOUNTED_DROP_G : Number(counted)) *
              (byDrops ? CAREFUL_BY_DROPS : CAREFUL),
          ),
        ),
      );
    await this.#page.waitForTimeout(400);
  }

  /** Presses the space bar and waits until the screen has taken it; a press while the figure moved is given again. */
  async #space(seen: Glance): Promise<void> {
    const before = JSON.stringify([seen.actions, seen.choices]);
    for (let presses = 0; presses < PRESSES; presses += 1) {
      await this.#page.keyboard.press('Space');
      const end = Date.now() + PRESS_AGAIN_MS;
      while (Date.now() < end) {
        const now = await glance(this.#page);
        if (JSON.stringify([now.actions, now.choices]) !== before) return;
        await this.#page.waitForTimeout(LOOK_EVERY_MS);
      }
    }
    throw new Error(`Nothing came of the space bar: ${JSON.stringify(await glance(this.#page))}`);
  }

  async #act(seen: Glance): Promise<void> {
    const primary = seen.actions[0];
    if (primary?.label === 'Take the vessel' && !this.#vesselOn) {
      await this.#page.getByRole('button', { name: 'Vessel on' }).click();
      this.#vesselOn = true;
    } else if (seen.choices.length > 0) {
      this.deeds.offered.push(seen.choices);
      await this.#space(seen);
    } else if (primary?.label === 'Settle') await this.#pour(seen);
    else if (primary?.enabled) {
      if (primary.label === 'Right bottle in hand') this.deeds.lines.push(seen.title);
      await this.#space(seen);
    }
  }

  /** Pours until the batch is closed, or `until` says so. */
  async pour(): Promise<void> {
    const end = Date.now() + this.#options.limit;
    for (;;) {
      const seen = await glance(this.#page);
      if (this.#options.until?.(seen) || seen.actions[0]?.label === 'Open the record') break;
      if (Date.now() > end)
        throw new Error(`The pour did not end: ${JSON.stringify({ seen, did: this.deeds })}`);
      await this.#act(seen);
      await this.#page.waitForTimeout(LOOK_EVERY_MS);
    }
  }
}

/**
 * Pours the batch on the screen as a person does, by keys and from what is seen: vessel, bottles, squeeze, drops, the first
 * correction offered, closing. @throws Error when it does not end in time, with the last glance
 */
export async function pourByHand(page: Page, options: HandOptions): Promise<Deeds> {
  const hand = new Hand(page, options);
  await hand.pour();
  return hand.deeds;
}
