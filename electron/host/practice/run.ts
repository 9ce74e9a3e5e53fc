import { type PourCommand, PourRefusal } from '../../../core/pour/commands.ts';
import { lineOf, nextLine, type PourState } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { type Deed, PracticeRefusal } from '../../../core/practice/deeds.ts';
import { type Evidence, restsOf, type TimedEvent, type TracePoint } from '../../../core/practice/evidence.ts';
import {
  decideExercise,
  type ExerciseAsk,
  type ExerciseState,
  evolveExercise,
  exerciseBegun,
  stepNow,
} from '../../../core/practice/exercise.ts';
import type { Learner } from '../../../core/practice/learner.ts';
import type { Lesson } from '../../../core/practice/lesson.ts';
import type { Observation } from '../../../core/weighing/reading.ts';
import type { PanControls } from '../../../drivers/simulated/instrument.ts';
import { type Random, seeded } from '../../../drivers/simulated/seeded.ts';
import { limitsFor } from '../limits.ts';
import type { Bench } from '../session.ts';

/** More readings than this of one lesson are not kept: at 20 a second, 25 minutes. */
const TRACE_LIMIT = 30_000;
/** The lesson's own drops fall once so little is left, in drops; and the empty pan begins so far off, g. */
const SLIPS_AT = 3;
const RESIDUE = { least: 0.05, most: 0.12 } as const;

/** What was asked for, as it is told to the learner. */
const DID: Partial<Readonly<Record<PourCommand['type'], string>>> = {
  'confirm-vessel': 'you took the vessel',
  'confirm-bottle': 'you took the bottle',
  'accept-under': 'you kept what was poured',
  'weigh-off': 'you took the closing figure',
  close: 'you closed',
};

export interface RunOrder {
  readonly lesson: Lesson;
  readonly learner: Learner;
  /** The practice bench: no other batch is on it, and its balance is attached. */
  readonly bench: Bench;
  /** The pan of the simulated balance; null where a real one stands there. */
  readonly pan: PanControls | null;
  /** Milliseconds since 1970. */
  readonly now: () => number;
  /** What varies of the simulated bench: its vessel, what lies on the pan. */
  readonly seed: number;
}

/** One lesson under way: the bench with its pour or its guided steps, and everything the score is judged from. */
export class LessonRun {
  readonly lesson: Lesson;
  readonly learner: Learner;
  readonly bench: Bench;
  readonly began: number;
  readonly #pan: PanControls | null;
  readonly #now: () => number;
  readonly #random: Random;
  readonly #unhear: (() => void)[];
  readonly #deeds: Deed[] = [];
  readonly #events: TimedEvent[] = [];
  readonly #trace: TracePoint[] = [];
  readonly #batches: string[] = [];
  #exercise: ExerciseState | null = null;
  #placed = false;
  #slipped = false;
  #typed = false;

  constructor({ lesson, learner, bench, pan, now, seed }: RunOrder) {
    this.lesson = lesson;
    this.learner = learner;
    this.bench = bench;
    this.#pan = pan;
    this.#now = now;
    this.#random = seeded(seed);
    this.began = now();
    this.#unhear = [
      bench.onObservation((observation) => this.#hear(observation)),
      bench.onEvents((events) => {
        for (const { batch, at, event } of events) {
          if (!this.#batches.includes(batch)) this.#batches.push(batch);
          this.#events.push({ at: Date.parse(at), event });
        }
      }),
    ];
    const { least, most } = RESIDUE;
    pan?.touch(least + (most - least) * this.#random());
    this.#deeds.push({ type: 'begun', at: this.began });
    this.#begin();
  }

  #begin(): void {
    const { task } = this.lesson;
    if (task.engine === 'exercise') {
      this.#exercise = exerciseBegun(task);
      return;
    }
    this.bench.start({
      formula: task.formula,
      materials: task.materials,
      lots: task.lots,
      operator: this.learner.name,
      balance: { name: this.bench.balance?.what ?? 'no balance' },
      cautions: task.cautions,
    });
  }

  /** Where the guided steps stand; null in a lesson that is a whole pour. */
  get exercise(): ExerciseState | null {
    return this.#exercise;
  }

  /** A fresh pipette was taken since the last bottle was begun, or none was begun yet. */
  get freshPipette(): boolean {
    const last = this.#events.findLast(({ event }) => event.type === 'pour-begun')?.at;
    return last === undefined || this.#deeds.some((deed) => deed.type === 'fresh-pipette' && deed.at >= last);
  }

  /** Every step is done, or the batch was closed: the lesson can be scored. */
  get done(): boolean {
    if (this.#exercise !== null) return stepNow(this.#exercise) === null;
    return this.bench.batch?.state.phase === 'closed';
  }

  get batches(): readonly string[] {
    return this.#batches;
  }

  /** Display step of the balance, g. */
  get d(): string {
    return limitsFor(this.bench.live.reading).d;
  }

  /** Does a guided step. @throws PracticeRefusal where it does not fit */
  ask(ask: Pick<ExerciseAsk, 'do' | 'value'>): void {
    if (this.#exercise === null)
      throw new PracticeRefusal('This lesson is a pour.', 'Use the keys of the bench.');
    const { live } = this.bench;
    const at = live.reading === null ? this.#now() : Math.max(live.at, this.#now());
    this.#keep(decideExercise(this.#exercise, { ...ask, at, g: live.reading?.g ?? null }));
  }

  /** Does a command of the pour; one that does not fit is noted before it is refused. */
  command(command: PourCommand): void {
    const { task } = this.lesson;
    if (task.engine === 'pour' && command.type === 'confirm-bottle') {
      if (task.shelf !== undefined && command.lot === undefined)
        throw new PracticeRefusal(
          'In this lesson a bottle is taken from the shelf by its lot.',
          'Choose the bottle whose lot the step names.',
        );
      this.#noteBottle(command.lot);
    }
    try {
      this.bench.do(command);
    } catch (cause) {
      if (cause instanceof PourRefusal) this.#refused(command, cause.message);
      throw cause;
    }
  }

  takePipette(): void {
    this.#keep({ type: 'fresh-pipette', at: this.#now() });
  }

  pressed(key: 'tare' | 'zero'): void {
    this.#keep({ type: 'pressed', key, at: this.#now() });
  }

  /** Puts the vessel or the weight on the simulated pan, or takes it off. @throws PracticeRefusal at a real one */
  put(on: boolean): void {
    const pan = this.#pan;
    if (pan === null)
      throw new PracticeRefusal('A real balance stands on this bench.', 'Put it on with your hand.');
    if (!on) pan.liftVessel();
    else if (this.#placed) pan.putVessel();
    else {
      this.#placed = true;
      pan.putVessel(this.#objectMass());
    }
  }

  #objectMass(): number {
    const { task } = this.lesson;
    const { g, spread } = task.engine === 'exercise' ? task.object : { g: '48', spread: '14' };
    return Number(g) + Number(spread) * (2 * this.#random() - 1);
  }

  /** Ends the lesson: nothing is heard any more. @throws PracticeRefusal while a step or the batch is open */
  end(): void {
    if (!this.done)
      throw new PracticeRefusal(
        'The lesson is not at its end yet.',
        'Do what is left, or break it off: then it is not scored.',
      );
    this.#keep({ type: 'ended', at: this.#now() });
    this.leave();
  }

  /** Breaks off: nothing is heard any more. */
  leave(): void {
    for (const stop of this.#unhear) stop();
  }

  /** All that the rules judge by. */
  evidence(): Evidence {
    const last = this.#deeds.at(-1);
    const d = Number(this.d);
    return {
      lesson: this.lesson,
      began: this.began,
      ended: last?.type === 'ended' ? last.at : this.#now(),
      d,
      typed: this.#typed,
      events: this.#events,
      deeds: this.#deeds,
      trace: this.#trace,
      rests: this.#typed ? [] : restsOf(this.#trace, d),
    };
  }

  #keep(deed: Deed): void {
    this.#deeds.push(deed);
    if (this.#exercise !== null) this.#exercise = evolveExercise(this.#exercise, deed);
  }

  #refused(command: PourCommand, why: string): void {
    const moving = 'settled' in command && command.settled === null;
    this.#keep({ type: 'refused', did: DID[command.type] ?? command.type, why, moving, at: this.#now() });
  }

  #noteBottle(lot: string | undefined): void {
    const state = this.bench.batch?.state ?? null;
    const wanted = state === null ? null : (nextLine(state)?.step.lot ?? null);
    if (lot === undefined || state === null || wanted === null || lot === wanted) return;
    const planned = state.lines.some((line) => line.end === 'open' && line.step.lot === lot);
    this.#keep({ type: 'wrong-bottle', lot, wanted, planned, at: this.#now() });
  }

  #hear(observation: Observation): void {
    if (observation.kind !== 'weight') return;
    if (observation.typed === true) this.#typed = true;
    if (this.#trace.length < TRACE_LIMIT) this.#trace.push({ at: observation.at, g: observation.g });
    const state = this.bench.batch?.state;
    if (state !== undefined && this.#pan !== null) this.#slip(state, Number(observation.g), this.#pan);
  }

  /** Lets too much fall where the lesson is about that. */
  #slip({ phase, inHand, ...rest }: PourState, g: number, pan: PanControls): void {
    const { task } = this.lesson;
    if (task.engine !== 'pour' || task.slip === undefined || this.#slipped) return;
    const { line, drops } = task.slip;
    if (phase !== 'pouring' || inHand === null || inHand.line !== line) return;
    const state = { phase, inHand, ...rest };
    const poured = lineOf(state, line);
    const drop = Number(poured.step.drop);
    const toGo = pourWindow(state, poured).aim.toNumber() - (g - inHand.before.toNumber());
    if (toGo > SLIPS_AT * drop) return;
    this.#slipped = true;
    for (let n = 0; n < drops + SLIPS_AT; n += 1) pan.addDrop(drop);
    this.#keep({ type: 'slipped', line, drops, at: this.#now() });
  }
}
