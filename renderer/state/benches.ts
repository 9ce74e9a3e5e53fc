import { signal } from '@preact/signals';
import type { BenchRow, BenchView, PourView } from '../../electron/host/table.ts';
import { forgetBalance } from './balance.ts';
import { bench, NO_BENCH } from './bench.ts';
import { ask, askReply, benchId } from './host.ts';
import { clearTrace } from './trace.ts';

/** Every bench of this machine; one where the host has not told yet. */
export const benches = signal<readonly BenchRow[]>([]);

/** Where a bench is at this moment, as it is told to those at another. */
export interface Standing extends Pick<PourView, 'figure' | 'word' | 'state' | 'solid'> {
  readonly title: string;
  readonly unit: string;
  /** Something must be seen to before it goes on there. */
  readonly stop: boolean;
}

/** Benches with a batch by their id, where each is. */
export const standings = signal<Readonly<Record<string, Standing>>>({});

/** How a bench stands by its view; null where no batch is on it. */
export function standingOf({ pour, live }: BenchView): Standing | null {
  if (pour === null) return null;
  const { figure, figureUnit: unit, word, state, solid, now, next, name, notice } = pour;
  const stop = notice?.level === 'stop' || live.link === 'lost' || live.link === 'silent';
  return { title: now?.title ?? next?.title ?? name, figure, unit, word, state, solid, stop };
}

/** Keeps where a bench stands; what says the same is not drawn again twenty times a second. */
function keepStanding(id: string, view: BenchView): void {
  const { [id]: before, ...others } = standings.value;
  const now = standingOf(view);
  if (JSON.stringify(before ?? null) === JSON.stringify(now)) return;
  standings.value = now === null ? others : { ...others, [id]: now };
}

const PRACTICE = 'practice-';

/** The practice bench that stands beside a bench of the machine, and back. */
export const practiceBench = (id: string): string => (atPractice(id) ? id : `${PRACTICE}${id}`);
export const machineBench = (id: string): string => (atPractice(id) ? id.slice(PRACTICE.length) : id);
export const atPractice = (id: string): boolean => id.startsWith(PRACTICE);

/** What a bench is called. */
export const benchName = (id: string): string => `Bench ${id}`;

/** The benches as they are now; the window stays where it is. */
export async function fetchBenchRows(): Promise<readonly BenchRow[] | null> {
  const told = await ask('benches.list', {});
  if (told !== null) benches.value = told;
  return told;
}

export async function fetchBenches(): Promise<void> {
  const told = await fetchBenchRows();
  if (told === null) return;
  const [first] = told;
  if (first !== undefined && !told.some((one) => one.id === benchId.value)) {
    const own = machineBench(benchId.value);
    await goToBench(told.some((one) => one.id === own) ? own : first.id);
  }
  if (told.length > 1) await Promise.all(told.map(({ id }) => fetchStanding(id)));
}

/** A bench whose balance is away, or whose figures are typed, tells nothing by itself: it is asked. */
async function fetchStanding(id: string): Promise<void> {
  const reply = await askReply('bench.view', {}, id);
  if (reply.ok) keepStanding(id, reply.value);
}

/** Turns this window to another bench. */
export async function goToBench(id: string): Promise<void> {
  benchId.value = id;
  bench.value = NO_BENCH;
  forgetBalance();
  clearTrace();
  const view = await ask('bench.view', {});
  if (view !== null && benchId.value === id) bench.value = view;
}

/** Sets up one more bench and turns to it. */
export async function addBench(): Promise<void> {
  const told = await ask('benches.add', {});
  if (told === null) return;
  benches.value = told;
  const last = told.at(-1);
  if (last !== undefined) await goToBench(last.id);
}

/** Takes a bench away that has no batch on it. */
export async function removeBench(id: string): Promise<void> {
  const told = await ask('benches.remove', { id });
  if (told === null) return;
  benches.value = told;
  const [first] = told;
  if (id === benchId.value && first !== undefined) await goToBench(first.id);
}

/** Hears the view of any bench: the list follows it. @returns whether it is of the bench in this window */
export function benchesHear({ bench: id, live, pour }: BenchView): boolean {
  if (id !== undefined && benches.value.length > 1 && !atPractice(id))
    keepStanding(id, { bench: id, live, pour });
  const row = benches.value.find((one) => one.id === id);
  const batch = pour === null ? null : { id: pour.batch, name: pour.name };
  const same = row?.link === live.link && row.batch?.id === batch?.id && row.what === live.what;
  if (row !== undefined && !same)
    benches.value = benches.value.map((one) =>
      one.id === id ? { ...one, link: live.link, what: live.what, batch } : one,
    );
  return id === benchId.value;
}
