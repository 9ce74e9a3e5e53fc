import { SHAPES } from '../../drivers/frames/shapes.ts';
import type { Balance } from '../../drivers/link/balance.ts';
import { hidBalance } from '../../drivers/link/hid.ts';
import { listPorts, type PortInfo } from '../../drivers/link/ports.ts';
import { askings, bytesInWords } from '../../drivers/link/questions.ts';
import { listScales, type ScaleInfo } from '../../drivers/link/scales.ts';
import { serialBalance } from '../../drivers/link/serial.ts';
import { type TypedBalance, typedBalance } from '../../drivers/link/typed.ts';
import { whereNow } from '../../drivers/link/whereabouts.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { Finding, type FindingMeans } from './finding.ts';
import { ScreenPipette } from './screen-pipette.ts';
import type { Bench } from './session.ts';
import { shapeView } from './shape-view.ts';
import type { WorkshopStore } from './store/workshop.ts';
import type { Input, Output } from './table.ts';
import { BalanceChoice, type FindingView } from './table-balance.ts';
import { HostTrouble } from './trouble.ts';

/** What of the machine is used; a test gives its own. */
export interface Machine {
  ports(): Promise<readonly PortInfo[]>;
  scales(): Promise<readonly ScaleInfo[]>;
  readonly find?: NonNullable<FindingMeans['find']>;
  readonly ask?: NonNullable<FindingMeans['ask']>;
}

const MACHINE: Machine = { ports: () => listPorts(), scales: () => listScales() };

const hex = (id: number): string => id.toString(16).padStart(4, '0');

/** A USB scale with its ids written as the system writes those of ports. */
const placed = ({ vendorId, productId, serialNumber, ...scale }: ScaleInfo) => ({
  ...scale,
  vendorId: hex(vendorId),
  productId: hex(productId),
  serialNumber,
});

/** The choice remembered under a setting; null when none was made or what is stored is no choice any more. */
export function rememberedChoice(
  workshop: Pick<WorkshopStore, 'setting'>,
  setting: string,
): BalanceChoice | null {
  const text = workshop.setting(setting);
  if (text === null) return null;
  const parsed = BalanceChoice.safeParse(JSON.parse(text));
  return parsed.success ? parsed.data : null;
}

/** The balance of the bench: chosen by the person or found by listening, remembered, and taken up again at the next start. */
export class Balances {
  readonly #bench: Bench;
  readonly #workshop: WorkshopStore;
  readonly #seed: () => number;
  readonly #machine: Machine;
  readonly #finding: Finding;
  readonly #setting: string;
  #pipette: ScreenPipette | null = null;
  #typed: TypedBalance | null = null;

  /** @param setting name under which the choice is remembered */
  constructor(
    bench: Bench,
    workshop: WorkshopStore,
    seed: () => number,
    { setting = 'balance', machine = MACHINE }: { setting?: string; machine?: Machine } = {},
  ) {
    this.#setting = setting;
    this.#seed = seed;
    this.#bench = bench;
    this.#workshop = workshop;
    this.#machine = machine;
    this.#finding = new Finding({
      ports: () => machine.ports(),
      release: async () => {
        if (this.chosen()?.kind === 'serial') await bench.release();
      },
      take: (found) => this.#use({ kind: 'serial', ...found }),
      resume: async () => {
        if (bench.balance === null) await this.takeUp();
      },
      ...(machine.find === undefined ? {} : { find: machine.find }),
      ...(machine.ask === undefined ? {} : { ask: machine.ask }),
    });
  }

  /** The remembered choice. */
  chosen(): BalanceChoice | null {
    return rememberedChoice(this.#workshop, this.#setting);
  }

  /** @throws LinkTrouble when shape or line settings are not known */
  async choose(choice: BalanceChoice): Promise<void> {
    await this.#finding.stop();
    await this.#use(choice);
    this.#finding.clear();
  }

  /** Takes up the remembered balance. */
  async takeUp(): Promise<void> {
    const choice = this.chosen();
    if (choice !== null) await this.#bench.attach(this.#make(choice));
  }

  async ports(): Promise<Output<'balance.ports'>> {
    return [...(await this.#machine.ports())];
  }

  /** @throws LinkTrouble "unsupported" where USB scales cannot be read here */
  async scales(): Promise<Output<'balance.scales'>> {
    return (await this.#machine.scales()).map(placed);
  }

  shapes(): Output<'balance.shapes'> {
    return SHAPES.map(shapeView);
  }

  get finding(): FindingView {
    return this.#finding.view;
  }

  /** Looks for a balance by listening, at one port or at all, or while its print key is pressed; what is found is taken. */
  find(path?: string, byKey = false): FindingView {
    return this.#finding.start(path, byKey);
  }

  /** What would be sent to a silent port. @throws LinkTrouble "unknown-shape" */
  questions(shape?: string): Output<'balance.questions'> {
    return askings(shape).map(({ bytes, line }) => ({ bytes: bytesInWords(bytes), line }));
  }

  /** Puts these questions, the person having agreed to them. @throws HostTrouble when that port was not silent */
  ask(path: string, shape?: string): FindingView {
    return this.#finding.ask(path, shape);
  }

  stopFinding(): Promise<FindingView> {
    return this.#finding.stop();
  }

  async press(key: Input<'balance.press'>['key']): Promise<void> {
    const balance = this.#bench.balance;
    if (balance === null)
      throw new HostTrouble('No balance is chosen.', 'Balance', 'Choose one on the Balance screen.');
    await balance.press(key);
  }

  /** Enters what the display shows. @throws LinkTrouble "bad-figure"; HostTrouble where figures are not typed */
  type(text: string): void {
    if (this.#typed === null)
      throw new HostTrouble(
        'The figures of this balance are not typed.',
        'Pour',
        'Choose "Typed by hand" on the Balance screen.',
      );
    this.#typed.type(text);
  }

  /** The pipette of the simulated balance. @throws HostTrouble when another balance is on the bench */
  pipette(): ScreenPipette {
    if (this.#pipette === null)
      throw new HostTrouble(
        'The pipette on the screen belongs to the simulated balance.',
        'Pour',
        'Choose the simulated balance on the Balance screen.',
      );
    return this.#pipette;
  }

  /** Puts the vessel of a batch that is taken up again back on the simulated pan; a real one stands there by itself. */
  putBack(): void {
    const state = this.#bench.batch?.state;
    if (state !== undefined) this.#pipette?.putBack(state);
  }

  /** Ends what is under way; ports that were listened at are free when the promise resolves. */
  async stop(): Promise<void> {
    this.#pipette?.stop();
    await this.#finding.stop();
  }

  async #use(choice: BalanceChoice): Promise<void> {
    const known = await this.#withDevice(choice);
    const balance = this.#make(known);
    await this.#bench.attach(balance);
    this.#workshop.set(this.#setting, JSON.stringify(known));
  }

  /** A serial choice with the ids of the device at its path, where the system tells them. */
  async #withDevice(choice: BalanceChoice): Promise<BalanceChoice> {
    if (choice.kind !== 'serial') return choice;
    const { device: _, ...rest } = choice;
    const port = (await this.#machine.ports()).find((one) => one.path === choice.path);
    if (port?.vendorId === undefined || port.productId === undefined) return rest;
    const { vendorId, productId, serialNumber } = port;
    return {
      ...rest,
      device: { vendorId, productId, ...(serialNumber === undefined ? {} : { serialNumber }) },
    };
  }

  #make(choice: BalanceChoice): Balance {
    const balance = this.#made(choice);
    this.#pipette?.stop();
    this.#pipette = balance.pipette ?? null;
    this.#typed = balance.typed ?? null;
    return balance.link;
  }

  /** The link of a choice, with the hands that go with it. @throws LinkTrouble when shape or line settings are not known */
  #made(choice: BalanceChoice): { link: Balance; pipette?: ScreenPipette; typed?: TypedBalance } {
    const machine = this.#machine;
    switch (choice.kind) {
      case 'simulated': {
        const link = simulatedBalance({ seed: this.#seed() });
        return { link, pipette: new ScreenPipette(link.controls, () => this.#bench.batch?.state ?? null) };
      }
      case 'typed': {
        const link = typedBalance();
        return { link, typed: link };
      }
      case 'serial': {
        const { device, path, shape, line, unit, ask, byKey } = choice;
        const locate = async () => whereNow(device ?? null, path, await machine.ports());
        return {
          link: serialBalance({
            path,
            shape,
            line,
            ...(unit === undefined ? {} : { unit }),
            ...(ask === undefined ? {} : { ask }),
            ...(byKey === undefined ? {} : { byKey }),
            ...(device === undefined ? {} : { locate }),
          }),
        };
      }
      case 'usb': {
        const { device, path } = choice;
        const locate = async () => whereNow(device, path, (await machine.scales()).map(placed));
        return { link: hidBalance({ path, locate }) };
      }
    }
  }
}
