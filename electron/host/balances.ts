import { SHAPES } from '../../drivers/frames/shapes.ts';
import type { Balance } from '../../drivers/link/balance.ts';
import { listPorts } from '../../drivers/link/ports.ts';
import { serialBalance } from '../../drivers/link/serial.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { ScreenPipette } from './screen-pipette.ts';
import type { Bench } from './session.ts';
import type { WorkshopStore } from './store/workshop.ts';
import { BalanceChoice, type Input, type Output } from './table.ts';
import { HostTrouble } from './trouble.ts';

const SETTING = 'balance';

/** The balance of the bench: chosen by the person, remembered, and taken up again at the next start. */
export class Balances {
  readonly #bench: Bench;
  readonly #workshop: WorkshopStore;
  readonly #seed: () => number;
  #pipette: ScreenPipette | null = null;

  constructor(bench: Bench, workshop: WorkshopStore, seed: () => number) {
    this.#seed = seed;
    this.#bench = bench;
    this.#workshop = workshop;
  }

  /** The remembered choice; null when none was made or what is stored is no choice any more. */
  chosen(): BalanceChoice | null {
    const text = this.#workshop.setting(SETTING);
    if (text === null) return null;
    const parsed = BalanceChoice.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  }

  /** @throws LinkTrouble when shape or line settings are not known */
  async choose(choice: BalanceChoice): Promise<void> {
    const balance = this.#make(choice);
    await this.#bench.attach(balance);
    this.#workshop.set(SETTING, JSON.stringify(choice));
  }

  /** Takes up the remembered balance. */
  async takeUp(): Promise<void> {
    const choice = this.chosen();
    if (choice !== null) await this.#bench.attach(this.#make(choice));
  }

  ports(): Promise<Output<'balance.ports'>> {
    return listPorts();
  }

  shapes(): Output<'balance.shapes'> {
    return SHAPES.map(({ name, title, sample, lines }) => ({ name, title, sample, lines: [...lines] }));
  }

  async press(key: Input<'balance.press'>['key']): Promise<void> {
    const balance = this.#bench.balance;
    if (balance === null)
      throw new HostTrouble('No balance is chosen.', 'Balance', 'Choose one on the Balance screen.');
    await balance.press(key);
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

  stop(): void {
    this.#pipette?.stop();
  }

  #make(choice: BalanceChoice): Balance {
    this.#pipette?.stop();
    this.#pipette = null;
    if (choice.kind === 'serial') return serialBalance(choice);
    const balance = simulatedBalance({ seed: this.#seed() });
    this.#pipette = new ScreenPipette(balance.controls, () => this.#bench.batch?.state ?? null);
    return balance;
  }
}
