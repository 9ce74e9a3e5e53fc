import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { PourCommand } from '../../../core/pour/commands.ts';
import type { PourEvent } from '../../../core/pour/events.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { type DropBook, openDropBook } from '../../../electron/host/drop-book.ts';
import { Bench } from '../../../electron/host/session.ts';
import type { Journal } from '../../../electron/host/store/journal.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { BenchView } from '../../../electron/host/table.ts';
import { FakeBalance } from './fake-balance.ts';

/** A bench whose balance says what a test tells it to, on the test's own clock. Batches are batch-1, batch-2, … */
export class TestBench {
  readonly balance = new FakeBalance();
  bench: Bench;
  readonly #keeping: () => { journal: Journal; drops?: DropBook };
  /** How many ids were given out: the number of the last one. */
  ids = 0;

  /** @param keeping where its batches are kept; asked anew whenever the program starts */
  constructor(keeping: () => { journal: Journal; drops?: DropBook }) {
    this.#keeping = keeping;
    this.bench = this.#made();
  }

  #made(): Bench {
    return new Bench({
      ...this.#keeping(),
      now: () => this.balance.at,
      newId: () => {
        this.ids += 1;
        return `batch-${this.ids}`;
      },
    });
  }

  /** The program begins: anew, where it ran before. The balance is not on the bench yet. */
  start(): void {
    this.bench = this.#made();
  }

  attach(): Promise<void> {
    return this.bench.attach(this.balance);
  }

  do(command: PourCommand): void {
    this.bench.do(command);
  }

  get settled() {
    return this.bench.settling.settled;
  }

  view(): BenchView {
    return BenchView.parse(this.bench.view());
  }

  get notice() {
    return this.view().pour?.notice;
  }

  events(batch = 'batch-1'): PourEvent[] {
    return this.#keeping()
      .journal.events(batch)
      .map((one) => one.event);
  }

  types(batch = 'batch-1'): string[] {
    return this.events(batch).map((one) => one.type);
  }

  /** Begins the demo dilution: VE-06 to 2.00 g, ethanol to 18.00 g. */
  begin(cautions: 'shown' | 'required' = 'shown'): void {
    const { formulas, materials, lots } = demoWorkshop();
    const formula = formulas.find((one) => one.id === 'vetiver-dilution-10');
    if (formula === undefined) throw new Error('the demo workshop has no dilution');
    this.bench.start({ formula, materials, lots, operator: 'tester', balance: { name: 'test' }, cautions });
  }

  /** The dilution with its vessel of 50.00 g taken. */
  vesselTaken(cautions: 'shown' | 'required' = 'shown'): void {
    this.begin(cautions);
    this.balance.rest('50.00');
    this.do({ type: 'confirm-vessel', settled: this.settled });
  }

  takeBottle(): void {
    this.do({ type: 'confirm-bottle', how: 'by eye', settled: this.settled });
  }

  /** The vessel taken and the first bottle in hand. */
  firstBottle(): void {
    this.vesselTaken();
    this.takeBottle();
  }

  /** The display goes down, or up, as under a hand: through what lies between. */
  through(...figures: string[]): void {
    for (const g of figures) for (let n = 0; n < 4; n += 1) this.balance.read(g);
  }

  minutes(count: number): void {
    this.balance.at += count * 60_000;
  }
}

/** Such a bench on a store in a folder of its own, with its balance on it. */
export class StoredBench extends TestBench {
  readonly folder: string;
  readonly #open: { store: Store };

  private constructor(folder: string, open: { store: Store }) {
    super(() => ({ journal: open.store.journal, drops: openDropBook(open.store.workshop) }));
    this.folder = folder;
    this.#open = open;
  }

  static async open(): Promise<StoredBench> {
    const folder = mkdtempSync(join(tmpdir(), 'pourwright-bench-'));
    const made = new StoredBench(folder, { store: openStore(folder) });
    await made.attach();
    return made;
  }

  get store(): Store {
    return this.#open.store;
  }

  /** The program ends and begins anew on the same folder. */
  restart(): void {
    this.store.close();
    this.#open.store = openStore(this.folder);
    this.start();
  }

  close(): void {
    this.store.close();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
