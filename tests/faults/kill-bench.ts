/**
 * A bench in a process of its own, to be killed: the vessel and what is in it are kept in a file, as the world keeps
 * them, and the hand goes on from whatever stands there. Arguments: the data folder, the seed of the hand.
 */
import { randomUUID } from 'node:crypto';
import { existsSync, readFileSync, renameSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { PourRefusal } from '../../core/pour/commands.ts';
import type { ChoiceKind } from '../../core/pour/events.ts';
import { lineOf } from '../../core/pour/state.ts';
import { pourWindow } from '../../core/pour/window.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { demoWorkshop } from '../../electron/host/demo.ts';
import { Bench } from '../../electron/host/session.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { FakeBalance } from '../unit/host/fake-balance.ts';

/** What stands on the pan, in counts of 0.01 g, by the line it came from; kept beside the store. */
export interface World {
  vessel: number;
  lifted: boolean;
  at: number;
  lines: Record<string, number>;
}

export const worldFile = (folder: string): string => join(folder, 'world.json');
export const contentsOf = (world: World): number =>
  Object.values(world.lines).reduce((sum, counts) => sum + counts, 0);

const FORMULA = 'hedge-bank-4';
const VESSEL = 5000;

class Hand {
  readonly #folder: string;
  readonly #random: () => number;
  readonly #balance = new FakeBalance();
  readonly #bench: Bench;
  #world: World = { vessel: 0, lifted: false, at: Date.now(), lines: {} };

  constructor(folder: string, seed: number) {
    this.#folder = folder;
    this.#random = seeded(seed);
    if (existsSync(worldFile(folder))) this.#world = JSON.parse(readFileSync(worldFile(folder), 'utf8'));
    this.#balance.at = this.#world.at;
    const store = openStore(folder);
    const now = (): number => this.#balance.at;
    this.#bench = new Bench({ journal: store.journal, now, newId: randomUUID });
    this.#bench.onEvents((events) => {
      for (const { batch, n, hash, event } of events)
        writeSync(1, `${JSON.stringify({ batch, n, hash, type: event.type })}\n`);
    });
    const [open] = store.catalog.open();
    if (open !== undefined) this.#bench.takeUp(open.id);
    else this.#begin();
  }

  #begin(): void {
    const { formulas, materials, lots } = demoWorkshop();
    const formula = formulas.find((one) => one.id === FORMULA);
    if (formula === undefined) throw new Error(`the demo workshop has no ${FORMULA}`);
    this.#bench.start({ formula, materials, lots, operator: 'hand', balance: { name: 'test' } });
  }

  /** The world changes first: a kill may come before anybody has read it. */
  #change(to: Partial<World>): void {
    this.#world = { ...this.#world, ...to, at: this.#balance.at };
    const path = worldFile(this.#folder);
    writeFileSync(`${path}.new`, JSON.stringify(this.#world));
    renameSync(`${path}.new`, path);
  }

  #rest(): void {
    const { lifted, vessel } = this.#world;
    const counts = lifted ? 0 : vessel + contentsOf(this.#world);
    this.#balance.rest((counts / 100).toFixed(2));
  }

  #add(line: string, counts: number): void {
    const { lines } = this.#world;
    this.#change({ lines: { ...lines, [line]: (lines[line] ?? 0) + counts } });
  }

  #pour(): void {
    const state = this.#bench.batch?.state;
    const inHand = state?.inHand;
    if (state === undefined || inHand == null) return;
    const { aim, high } = pourWindow(state, lineOf(state, inHand.line));
    const gross = this.#world.vessel + contentsOf(this.#world);
    const net = gross - Math.round(inHand.before.toNumber() * 100);
    const left = Math.round(aim.toNumber() * 100) - net;
    const part = Math.floor(left * (0.3 + 0.6 * this.#random()));
    const slips = this.#random() < 0.1 ? Math.round(high.minus(aim).toNumber() * 100) + 8 : 0;
    this.#add(inHand.line, left > 40 ? part : Math.max(1, left + slips));
  }

  #choose(): void {
    const kinds: readonly ChoiceKind[] = ['least', 'exact', 'keep'];
    const choice = kinds[Math.floor(this.#random() * 3)] ?? 'keep';
    try {
      this.#bench.do({ type: 'choose', choice });
    } catch (cause) {
      if (!(cause instanceof PourRefusal)) throw cause;
      this.#bench.do({ type: 'choose', choice: 'keep' });
    }
  }

  #liftAndReturn(): void {
    this.#change({ lifted: true });
    this.#balance.read('25.00');
    this.#rest();
    this.#change({ lifted: false });
    this.#rest();
  }

  /** Does the next thing; false once the batch has ended. */
  #step(): boolean {
    const bench = this.#bench;
    const { settled } = bench.settling;
    switch (bench.batch?.state.phase) {
      case 'vessel':
        if (this.#world.vessel === 0) this.#change({ vessel: VESSEL });
        this.#rest();
        bench.do({ type: 'confirm-vessel', settled: bench.settling.settled });
        return true;
      case 'bottle':
        if (this.#random() < 0.2) this.#liftAndReturn();
        bench.do({ type: 'confirm-bottle', how: 'by scan', settled: bench.settling.settled });
        return true;
      case 'pouring':
        if (this.#random() < 0.1) this.#liftAndReturn();
        if (bench.batch.state.phase === 'pouring') this.#pour();
        this.#rest();
        return true;
      case 'over':
        this.#choose();
        return true;
      case 'closing':
        bench.do({ type: 'close', settled });
        return true;
      default:
        return false;
    }
  }

  async run(): Promise<void> {
    if (this.#world.lifted) this.#change({ lifted: false });
    await this.#bench.attach(this.#balance);
    this.#rest();
    writeSync(1, '"ready"\n');
    while (this.#step()) await new Promise((resolve) => setTimeout(resolve, 1));
    writeSync(1, '"ended"\n');
  }
}

const [folder, seed] = process.argv.slice(2);
if (import.meta.main && folder !== undefined) await new Hand(folder, Number(seed)).run();
