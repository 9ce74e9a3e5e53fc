import { randomInt, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Attempt, Learner } from '../../../core/practice/learner.ts';
import { PASS_MARK } from '../../../core/practice/learner.ts';
import type { Lesson } from '../../../core/practice/lesson.ts';
import { MOST_WEIGHT, RULES, type Weights } from '../../../core/practice/score.ts';
import { MODELS, ROOMS } from '../../../drivers/simulated/physics.ts';
import { simulatedBalance } from '../../../drivers/simulated/simulated-balance.ts';
import { Balances } from '../balances.ts';
import { type Benches, balanceSetting, type Place } from '../benches.ts';
import { ScreenPipette } from '../screen-pipette.ts';
import { Bench } from '../session.ts';
import type { Counts } from '../store/backup.ts';
import { FILE_NAME, PRACTICE_FOLDER, practiceBeside } from '../store/files.ts';
import { openStore, type Store } from '../store/store.ts';
import type { BenchView } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { inLesson } from './in-lesson.ts';
import { LessonRun } from './run.ts';

/** A practice bench is named by the bench of the machine it stands at: "practice-2". */
const PREFIX = 'practice-';
export const machineBench = (id: string): string => (id.startsWith(PREFIX) ? id.slice(PREFIX.length) : id);
export const isPractice = (id: string | undefined): id is string => id?.startsWith(PREFIX) === true;

/** Drop of a liquid that no line names, g: water and oil from droppers lie about here. */
const DROPS = { least: 0.026, most: 0.05 } as const;

/** A lesson that was under way when the program ended: not scored, and to be begun again. */
export interface BrokenLesson {
  readonly lesson: string;
  readonly title: string;
  readonly who: string;
  /** RFC 3339. */
  readonly began: string;
}

/** Batches of lessons that the end of the program broke off: what their learner did is not known any more, so each ends. */
function endBroken({ catalog, journal }: Store): void {
  const at = new Date().toISOString();
  for (const { id } of catalog.open())
    journal.append(id, at, [{ type: 'abandoned', reason: 'the program ended during the lesson' }]);
}

const underWayAt = (machine: string): string => `lesson under way at bench ${machine}`;

/** The practice bench that stands beside one bench of the machine: its own bench, its own balance, its own batches. */
export interface PracticePlace {
  readonly id: string;
  readonly bench: Bench;
  run: LessonRun | null;
  pipette: ScreenPipette | null;
  /** The balance of the machine's bench while it is lent to a lesson. */
  lent: Balances | null;
}

/**
 * Everything that is learnt: a store of its own beside the workshop's, and a practice bench for each bench. The store
 * is opened when it is first asked for: whatever is wrong with it, the workshop's own starts.
 */
export class Practising {
  readonly #folder: string;
  #store: Store | null = null;
  readonly #workshop: Store['workshop'];
  readonly #benches: Benches;
  readonly #places = new Map<string, PracticePlace>();
  readonly #listeners = new Set<(view: BenchView) => void>();

  constructor(workshop: Store, benches: Benches) {
    this.#workshop = workshop.workshop;
    this.#benches = benches;
    this.#folder = join(workshop.folder, PRACTICE_FOLDER);
  }

  /** @throws StoreTrouble when it cannot be opened */
  get store(): Store {
    if (this.#store === null) {
      const store = openStore(this.#folder);
      this.#store = store;
      endBroken(store);
    }
    return this.#store;
  }

  /**
   * Writes a checked copy of Practice beside a backup of the workshop.
   * @returns null where nobody has practised: then nothing is written
   * @throws StoreTrouble when it cannot be opened or written
   */
  backupBeside(path: string): { readonly path: string; readonly counts: Counts } | null {
    if (this.#store === null && !existsSync(join(this.#folder, FILE_NAME))) return null;
    const beside = practiceBeside(path);
    return { path: beside, counts: this.store.backup(beside) };
  }

  get learning(): Store['learning'] {
    return this.store.learning;
  }

  /** Practice beside a bench of the machine; made when it is first asked for. */
  at(machine: string): PracticePlace {
    const known = this.#places.get(machine);
    if (known !== undefined) return known;
    const id = `${PREFIX}${machine}`;
    const bench = new Bench({
      journal: this.store.journal,
      now: () => Date.now(),
      newId: () => randomUUID(),
    });
    bench.onView((view) => {
      for (const listener of this.#listeners)
        listener({ ...inLesson(view, this.at(machine).run), bench: id });
    });
    const place: PracticePlace = { id, bench, run: null, pipette: null, lent: null };
    this.#places.set(machine, place);
    return place;
  }

  /** The lesson under way at a bench. @throws HostTrouble when none is */
  expectRun(machine: string): LessonRun {
    const { run } = this.at(machine);
    if (run !== null) return run;
    throw new HostTrouble('No lesson is under way at this bench.', 'Practice', 'Choose one from the course.');
  }

  /** The lesson under way beside a bench with its learner, in words; the store is not opened for it. */
  lessonAt(machine: string): string | null {
    const run = this.#places.get(machine)?.run ?? null;
    return run === null ? null : `${run.lesson.title} · ${run.learner.name}`;
  }

  /** @throws HostTrouble when a lesson is under way beside this bench: it may have its balance */
  expectNoLesson(machine: string): void {
    const run = this.#places.get(machine)?.run ?? null;
    if (run !== null)
      throw new HostTrouble(
        `"${run.lesson.title}" is under way at bench ${machine}.`,
        'bench',
        'End the lesson on the Practice screen, or break it off there.',
      );
  }

  /** The lesson that the end of the program broke off at a bench; null where none was, or one was begun since. */
  brokenAt(machine: string): BrokenLesson | null {
    const noted = this.store.workshop.setting(underWayAt(machine)) ?? '';
    return noted === '' || this.at(machine).run !== null ? null : (JSON.parse(noted) as BrokenLesson);
  }

  /** Keeps a lesson that was done to its end. @returns the attempt's number */
  keep(machine: string, attempt: Attempt): number {
    return this.store.together(() => {
      this.store.workshop.set(underWayAt(machine), '');
      return this.learning.addAttempt(attempt);
    });
  }

  /** Who is learning at a bench; null where nobody was chosen. */
  learnerAt(machine: string): Learner | null {
    const id = this.store.workshop.setting(`learner at bench ${machine}`);
    return this.learning.learners().find((one) => one.id === id) ?? null;
  }

  chooseLearner(machine: string, id: string): void {
    if (!this.learning.learners().some((one) => one.id === id))
      throw new HostTrouble('There is no such learner.', 'Practice', 'Choose one from the list, or add one.');
    this.store.workshop.set(`learner at bench ${machine}`, id);
  }

  get weights(): Weights {
    const set = this.store.workshop.settingsUnder('weight of ');
    return Object.fromEntries(set.map(({ name, value }) => [name.slice('weight of '.length), Number(value)]));
  }

  /** @throws HostTrouble when there is no such rule */
  weigh(rule: string, weight: number): void {
    if (!RULES.some((one) => one.id === rule))
      throw new HostTrouble(`There is no rule "${rule}".`, 'Practice', 'Choose one from the list.');
    this.store.workshop.set(`weight of ${rule}`, String(Math.min(MOST_WEIGHT, Math.max(0, weight))));
  }

  get passMark(): number {
    return Number(this.store.workshop.setting('pass mark') ?? PASS_MARK);
  }

  set passMark(score: number) {
    this.store.workshop.set('pass mark', String(score));
  }

  /**
   * Begins a lesson for whoever is learning at the bench.
   * @throws HostTrouble when nobody is chosen, a lesson is under way, or the bench's balance cannot be lent
   */
  async begin(place: Place, lesson: Lesson, on: 'simulated' | 'bench'): Promise<LessonRun> {
    const learner = this.learnerAt(place.id);
    if (learner === null)
      throw new HostTrouble('Nobody is learning at this bench.', 'Practice', 'Choose who is learning first.');
    const here = this.at(place.id);
    if (here.run !== null)
      throw new HostTrouble(
        `"${here.run.lesson.title}" is under way at this bench.`,
        'Practice',
        'End it or break it off first.',
      );
    const seed = randomInt(1, 2 ** 31);
    const pan = on === 'bench' ? await this.#lend(place, here) : await this.#simulate(here, lesson, seed);
    try {
      here.run = new LessonRun({ lesson, learner, bench: here.bench, pan, now: () => Date.now(), seed });
    } catch (cause) {
      await this.leave(place);
      throw cause;
    }
    const noted: BrokenLesson = {
      lesson: lesson.id,
      title: lesson.title,
      who: learner.name,
      began: new Date(here.run.began).toISOString(),
    };
    this.store.workshop.set(underWayAt(place.id), JSON.stringify(noted));
    return here.run;
  }

  /**
   * Clears the practice bench; a batch that is open there ends, and a balance that was lent goes back to its own bench.
   * @throws StoreTrouble when that end cannot be written: then the lesson is still under way
   */
  async leave(place: Place): Promise<void> {
    const here = this.at(place.id);
    const phase = here.bench.batch?.state.phase;
    if (phase !== undefined && phase !== 'closed' && phase !== 'abandoned')
      here.bench.do({ type: 'abandon', reason: 'the lesson was broken off' });
    if (here.run !== null) this.store.workshop.set(underWayAt(place.id), '');
    here.run?.leave();
    here.run = null;
    here.pipette?.stop();
    here.pipette = null;
    here.bench.leave();
    const { lent } = here;
    here.lent = null;
    await lent?.stop();
    await here.bench.detach();
    if (lent !== null && this.#benches.all.some((one) => one.id === place.id)) await place.balances.takeUp();
  }

  async #lend(place: Place, here: PracticePlace): Promise<null> {
    if (place.bench.batch !== null)
      throw new HostTrouble(
        `"${place.bench.batch.name}" is on bench ${place.id}.`,
        'Practice',
        'Close it and leave the bench, or take the simulated balance for the lesson.',
      );
    if (place.balances.chosen() === null)
      throw new HostTrouble(
        'No balance is chosen at this bench.',
        'Practice',
        'Choose one on the Balance screen, or take the simulated one for the lesson.',
      );
    await place.bench.release();
    const lent = new Balances(here.bench, this.#workshop, () => randomInt(1, 2 ** 31), {
      setting: balanceSetting(place.id),
    });
    here.lent = lent;
    try {
      await lent.takeUp();
    } catch (cause) {
      await this.leave(place);
      throw cause;
    }
    return null;
  }

  async #simulate(here: PracticePlace, lesson: Lesson, seed: number) {
    const link = simulatedBalance({ seed, room: ROOMS[lesson.room], model: MODELS.A });
    await here.bench.attach(link);
    const drop = DROPS.least + ((DROPS.most - DROPS.least) * (seed % 1000)) / 1000;
    here.pipette = new ScreenPipette(link.controls, () => here.bench.batch?.state ?? null, drop);
    return link.controls;
  }

  onView(listener: (view: BenchView) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Leaves neither a port nor the store open; a lesson under way is broken off. */
  async close(): Promise<void> {
    await Promise.all(
      [...this.#places.values()].map(async ({ run, pipette, lent, bench }) => {
        run?.leave();
        pipette?.stop();
        await lent?.stop();
        await bench.detach();
      }),
    );
    this.#store?.close();
  }
}
