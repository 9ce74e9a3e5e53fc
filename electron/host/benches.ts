import { z } from 'zod';
import type { Balances } from './balances.ts';
import type { Bench } from './session.ts';
import type { WorkshopStore } from './store/workshop.ts';
import type { BenchView } from './table.ts';
import type { BenchRow } from './table-balance.ts';
import { HostTrouble } from './trouble.ts';

const SETTING = 'benches';
const FIRST = '1';
/** More than this many benches at one machine are refused: a slip, not a workshop. */
const MOST = 8;
const Ids = z.array(z.string().regex(/^\d+$/)).min(1);

/** One bench with its balance. */
export interface Place {
  readonly id: string;
  readonly bench: Bench;
  readonly balances: Balances;
}

/** Where the balance of a bench is remembered; the first keeps the name it had when there was only one. */
export const balanceSetting = (id: string): string => (id === FIRST ? 'balance' : `balance of bench ${id}`);
/** Ids of the benches of a workshop, in their order. */
export function benchIds(workshop: Pick<WorkshopStore, 'setting'>): readonly string[] {
  const text = workshop.setting(SETTING);
  return text === null ? [FIRST] : Ids.parse(JSON.parse(text));
}

const batchSetting = (id: string): string => `batch of bench ${id}`;

/** The benches of this machine: each its own balance and its own batch, all in one record. */
export class Benches {
  readonly #workshop: WorkshopStore;
  readonly #make: (id: string) => Omit<Place, 'id'>;
  readonly #places = new Map<string, Place>();
  readonly #listeners = new Set<(view: BenchView) => void>();

  constructor(workshop: WorkshopStore, make: (id: string) => Omit<Place, 'id'>) {
    this.#workshop = workshop;
    this.#make = make;
    for (const id of benchIds(workshop)) this.#open(id);
  }

  get all(): readonly Place[] {
    return [...this.#places.values()];
  }

  /** The bench with this id; the first where none is named. @throws HostTrouble when there is none */
  at(id?: string): Place {
    const place = id === undefined ? this.all[0] : this.#places.get(id);
    if (place !== undefined) return place;
    throw new HostTrouble(`There is no bench ${id ?? FIRST}.`, 'bench', 'Choose another in the strip above.');
  }

  /** @param lessonAt the lesson that is under way beside a bench, in words */
  rows(lessonAt: (id: string) => string | null = () => null): BenchRow[] {
    return this.all.map(({ id, bench }) => {
      const { live, pour } = bench.view();
      return {
        id,
        what: live.what,
        link: live.link,
        batch: pour === null ? null : { id: pour.batch, name: pour.name },
        lesson: lessonAt(id),
      };
    });
  }

  /** Sets up one more bench, without a balance. @throws HostTrouble when there are too many */
  add(): Place {
    if (this.#places.size >= MOST)
      throw new HostTrouble(`There are ${MOST} benches already.`, 'bench', 'Take one away first.');
    const id = String(Math.max(...this.all.map((one) => Number(one.id))) + 1);
    const place = this.#open(id);
    this.#keep();
    return place;
  }

  /** Takes a bench away; its port is free when the promise resolves. @throws HostTrouble when it is in use or the last */
  async remove(id: string): Promise<void> {
    const place = this.at(id);
    if (this.#places.size === 1)
      throw new HostTrouble('This is the only bench.', 'bench', 'Choose another balance for it instead.');
    if (place.bench.batch !== null)
      throw new HostTrouble(
        `"${place.bench.batch.name}" is on bench ${id}.`,
        'bench',
        'Close the batch and leave the bench first.',
      );
    await place.balances.stop();
    await place.bench.detach();
    this.#places.delete(id);
    this.#workshop.set(balanceSetting(id), 'null');
    this.#keep();
  }

  /** Remembers which batch is on which bench, so that it is taken up there after a restart. */
  remember({ id, bench }: Place): void {
    this.#workshop.set(batchSetting(id), bench.batch?.id ?? '');
  }

  /** @throws HostTrouble when the batch is on another bench already */
  expectFree(batch: string, { id }: Place): void {
    const there = this.all.find((one) => one.id !== id && one.bench.batch?.id === batch);
    if (there !== undefined)
      throw new HostTrouble(
        `This batch is on bench ${there.id}.`,
        'Pour',
        `Go to bench ${there.id} in the strip above.`,
      );
  }

  /** Puts batches that were under way when the program ended back on their benches; a lone one without, on the first. */
  takeUpInterrupted(open: readonly string[]): void {
    const up = (place: Place, batch: string): void => {
      place.bench.takeUp(batch);
      place.balances.putBack();
    };
    for (const place of this.all) {
      const batch = this.#workshop.setting(batchSetting(place.id));
      if (batch !== null && open.includes(batch)) up(place, batch);
    }
    const [only] = open;
    const first = this.at();
    const taken = this.all.some(({ bench }) => bench.batch !== null);
    if (only !== undefined && open.length === 1 && !taken) up(first, only);
  }

  /** Hears every new view of every bench, each with the id of its bench. */
  onView(listener: (view: BenchView) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Leaves no port open. */
  async close(): Promise<void> {
    await Promise.all(
      this.all.map(async ({ balances, bench }) => {
        await balances.stop();
        await bench.detach();
      }),
    );
  }

  #open(id: string): Place {
    const place: Place = { id, ...this.#make(id) };
    this.#places.set(id, place);
    place.bench.onView((view) => {
      for (const listener of this.#listeners) listener({ ...view, bench: id });
    });
    return place;
  }

  #keep(): void {
    this.#workshop.set(SETTING, JSON.stringify([...this.#places.keys()]));
  }
}
