import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { Formula, Lot, Material } from '../../core/formula/types.ts';
import type { RecordFile } from '../../core/record/record.ts';
import type { Clock } from '../../drivers/simulated/clock.ts';
import type { PanControls } from '../../drivers/simulated/pan.ts';
import { openStore } from '../../electron/host/store/store.ts';
import type { BalanceChoice } from '../../electron/host/table-balance.ts';
import { type Glance, glance, takeBottle } from './hand.ts';

/** A batch of three small lines, poured by a test that has its hands on the pan: each line falls in at once. */

const neat = (key: string, name: string): Material => ({
  key,
  name,
  note: 'heart',
  family: 'florals',
  kind: 'neat',
  density: '0.95',
});

const MATERIALS: readonly Material[] = [
  neat('rose', 'Rose oil'),
  neat('cedar', 'Cedar oil'),
  { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent', density: '0.789' },
  { key: 'water', name: 'Water', note: null, family: 'solvents', kind: 'solvent', density: '0.998' },
];

const LOTS: readonly Lot[] = [
  { code: 'RO-10', name: 'Rose 9.6 %', composition: { rose: '0.096', ethanol: '0.904' }, drop: '0.012' },
  { code: 'CE-50', name: 'Cedar 50 %', composition: { cedar: '0.5', ethanol: '0.5' }, drop: '0.02' },
  { code: 'ET-96', name: 'Ethanol 96 %', composition: { ethanol: '0.94', water: '0.06' }, drop: '0.013' },
];

const FORMULA: Formula = {
  id: 'small',
  name: 'Small batch',
  batch: '6.00',
  tolerance: '0.01',
  lines: [
    { id: 'rose', material: 'rose', fraction: '0.024', lot: 'RO-10' },
    { id: 'cedar', material: 'cedar', fraction: '0.15', lot: 'CE-50' },
    { id: 'ethanol', material: 'ethanol', qs: true, lot: 'ET-96' },
  ],
};

/** So far a net on a display of 0.01 g may be from what fell, g, and so far a share of 6 g may be from that. */
const CLOSE_G = 0.025;
const CLOSE_SHARE = 0.004;

const share = (lot: string, material: string): number =>
  Number(LOTS.find(({ code }) => code === lot)?.composition[material] ?? 0);

const off = (what: string, is: number, was: number, most: number): string[] =>
  Math.abs(is - was) < most ? [] : [`${what}: ${is} where ${was.toFixed(4)} was`];

/** A workshop with the small formula alone, and the balance that its bench has. */
export function seedSmallBatch(data: string, balance: BalanceChoice): void {
  const store = openStore(data);
  store.workshop.add({ materials: MATERIALS, lots: LOTS, formulas: [FORMULA] });
  store.workshop.set('balance', JSON.stringify(balance));
  store.close();
}

/** Time that runs `pace` times as fast, for a balance beside a program that does. */
export const pacedClock = (pace: number): Clock => ({
  now: () => performance.now() * pace,
  every(ms, act) {
    const timer = setInterval(act, ms / pace);
    return () => clearInterval(timer);
  },
  sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms / pace)),
});

/** The record on the screen as its JSON file holds it, with its events. */
export async function exportedRecord(page: Page, folder: string): Promise<RecordFile> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'JSON', exact: true }).click(),
  ]);
  const file = join(folder, 'record.json');
  await download.saveAs(file);
  return JSON.parse(readFileSync(file, 'utf8')) as RecordFile;
}

/** What the screen shows beside one glance. */
export const notice = (page: Page) => page.locator('.alert .notice');

/** A hand at the pan of the balance that the window reads, and what it truly put into the vessel, g by title. */
export class PanHand {
  /** The window it looks at; another one where the program went on elsewhere. */
  page: Page;
  readonly pan: PanControls;
  readonly #true = new Map<string, number>();

  constructor(page: Page, pan: PanControls) {
    this.page = page;
    this.pan = pan;
  }

  /** Begins the batch that the screen offers, and puts an empty vessel on. */
  async begin(vessel: number): Promise<void> {
    this.#true.clear();
    await this.page.getByRole('link', { name: /^Pour/ }).click();
    await this.page.getByRole('button', { name: 'Start the batch' }).click();
    this.pan.putVessel(vessel);
    await this.press('Take the vessel');
  }

  /** Presses the space bar once it does what is meant; a press that a moving figure refused is given again. */
  async press(label: string): Promise<void> {
    const offered = ({ actions }: Glance): boolean => actions[0]?.label === label;
    const ready = (seen: Glance): boolean => offered(seen) && seen.actions[0]?.enabled === true;
    let seen = await this.shows(ready);
    while (offered(seen)) {
      await this.page.keyboard.press('Space');
      await this.page.waitForTimeout(200);
      seen = await this.shows((now) => !offered(now) || ready(now));
    }
  }

  /** Waits until a glance shows it. @throws Error with the last glance when it does not in time */
  async shows(what: (seen: Glance) => boolean): Promise<Glance> {
    const end = Date.now() + 20_000;
    for (;;) {
      const seen = await glance(this.page);
      if (what(seen)) return seen;
      if (Date.now() > end) throw new Error(`It is not shown: ${what} ${JSON.stringify(seen)}`);
      await this.page.waitForTimeout(40);
    }
  }

  /** Takes the bottle that is asked for. @returns the line, and what is to go of it, g */
  async bottle(): Promise<{ title: string; toGo: number }> {
    await takeBottle(this.page);
    const { title, figure } = await this.shows(({ unit, solid }) => unit === 'g to go' && solid);
    return { title, toGo: Number(figure) };
  }

  /** Lets so much of a line fall in at once. */
  fall(title: string, g: number): void {
    this.pan.addDrop(g);
    this.#true.set(title, (this.#true.get(title) ?? 0) + g);
  }

  /** Takes the bottle and pours it in, `over` too much of it. @returns the line */
  async pour(over = 0): Promise<string> {
    const { title, toGo } = await this.bottle();
    this.fall(title, toGo + over);
    return title;
  }

  /** Waits until the line in hand is captured inside its window. */
  async captured(): Promise<void> {
    await this.shows(({ word }) => word === 'inside' || word === 'closing');
    await this.page.getByRole('button', { name: 'Settle' }).waitFor({ state: 'detached' });
  }

  /** Pours what is left, one line after the other, closes, and opens the record. */
  async finish(): Promise<void> {
    for (;;) {
      const { actions } = await this.shows(({ actions: [first] }) =>
        /^(Close the batch|Right bottle|.*heeded$)/i.test(first?.label ?? ''),
      );
      if (actions[0]?.label === 'Close the batch') break;
      await this.pour();
      await this.captured();
    }
    await this.press('Close the batch');
    await this.page.getByRole('button', { name: 'Open the record' }).click();
    await this.page.locator('.verified').waitFor();
  }

  /** In what a record differs from what truly fell into the vessel: its lines, the whole, and what it is made of. */
  untrue({ asMade: { lines, composition, total } }: RecordFile): string[] {
    const fell = (title: string): number => this.#true.get(title) ?? 0;
    const whole = [...this.#true.values()].reduce((sum, g) => sum + g, 0);
    const massOf = (material: string): number =>
      lines.reduce((sum, { title, lot }) => sum + fell(title) * share(lot, material), 0);
    return [
      ...[...this.#true.keys()].flatMap((title) =>
        lines.some((line) => line.title === title) ? [] : [`${title} is missing`],
      ),
      ...lines.flatMap(({ title, poured }) => off(title, Number(poured), fell(title), CLOSE_G)),
      ...off('the whole', Number(total), whole, CLOSE_G),
      ...composition.flatMap(({ material, fraction }) =>
        off(material, Number(fraction), massOf(material) / whole, CLOSE_SHARE),
      ),
    ];
  }
}

/** Where the port of a test stands, so that it can be taken away and put back under the same name. */
export const portIn = (folder: string): string => join(folder, 'port');
