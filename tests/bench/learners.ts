import { cautionsDue } from '../../core/pour/cautions.ts';
import { PourRefusal } from '../../core/pour/commands.ts';
import { lineOf, nextLine, type PourState } from '../../core/pour/state.ts';
import { pourWindow } from '../../core/pour/window.ts';
import { stepNow, wantedOf } from '../../core/practice/exercise.ts';
import type { ExerciseStep, Lesson } from '../../core/practice/lesson.ts';
import { type Score, scoreOf } from '../../core/practice/score.ts';
import { SteppedClock } from '../../drivers/simulated/clock.ts';
import type { PanControls } from '../../drivers/simulated/instrument.ts';
import { MODELS, ROOMS } from '../../drivers/simulated/physics.ts';
import { normal, type Random, seeded } from '../../drivers/simulated/seeded.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { LessonRun } from '../../electron/host/practice/run.ts';
import { Bench } from '../../electron/host/session.ts';
import { CHARACTERS, type Character, type CharacterName } from './characters.ts';
import { memoryJournal } from './memory-journal.ts';

/** Time moves by this much while nothing is done, ms. */
const LOOK_MS = 100;
const REACTION_MS = 300;
const DROP_MS = 900;
const LONGEST_MS = 30 * 60_000;
const FLOW = 0.5;
const BOTTLE_FLOW = 2;
/** Drop of a liquid that no line names, g. */
const ANY_DROP = 0.036;

/** One scripted learner in one lesson, on the simulated balance and a clock that is moved by hand. */
class Person {
  readonly #run: LessonRun;
  readonly #clock: SteppedClock;
  readonly #pan: PanControls;
  readonly #character: Character;
  readonly #random: Random;
  #chosen = 0;

  constructor(run: LessonRun, clock: SteppedClock, pan: PanControls, character: Character, random: Random) {
    this.#run = run;
    this.#clock = clock;
    this.#pan = pan;
    this.#character = character;
    this.#random = random;
  }

  #pass(ms: number): void {
    this.#clock.advance(Math.max(20, Math.round(ms)));
  }

  #hand(ms: number): number {
    return ms * Math.max(0.5, 1 + 0.15 * normal(this.#random));
  }

  #does(share: number): boolean {
    return this.#random() < share;
  }

  get #g(): number {
    return Number(this.#run.bench.live.reading?.g ?? '0');
  }

  /** Looks until the figure is at rest and then as long as the character does; an early one does not see rest. */
  #waitForFigure(): void {
    const { waits } = this.#character;
    const { bench } = this.#run;
    if (waits < 0) {
      this.#pass(this.#hand(900 + waits));
      return;
    }
    for (let looked = 0; looked < 40_000; looked += LOOK_MS) {
      this.#pass(LOOK_MS);
      const { settled } = bench.settling;
      if (looked > 600 && settled !== null && bench.live.at - settled.since >= waits) return;
    }
  }

  /** What the early and the hasty press before the figure rests; it is refused, and pressed again once it does. */
  #press(act: () => void): void {
    let why = '';
    const phase = this.#run.bench.batch?.state.phase;
    for (let tries = 0; tries < 60; tries += 1) {
      /* A better figure has made something else of the moment meanwhile. */
      if (this.#run.bench.batch?.state.phase !== phase) return;
      try {
        act();
        return;
      } catch (cause) {
        if (!(cause instanceof PourRefusal)) throw cause;
        why = cause.message;
        this.#pass(this.#hand(500));
      }
    }
    throw new Error(`the press was never taken: ${why}`);
  }

  #drops(count: number, drop: number): void {
    for (let n = 0; n < count; n += 1) {
      if (n > 0) this.#pass(this.#character.heavy ? 130 : this.#hand(DROP_MS));
      this.#pan.addDrop(drop * Math.max(0.6, 1 + 0.06 * normal(this.#random)));
    }
    this.#pass(REACTION_MS);
  }

  /** Lets a stream fall while much is to go, and stops before `end`. */
  #streamTo(end: number, drop: number, flow: number): void {
    const { stopsAt, heavy } = this.#character;
    const stop = stopsAt * drop + (heavy ? 0 : flow * 0.6);
    if (end - this.#g > stop + 4 * drop) {
      this.#pan.stream(flow);
      while (end - this.#g > stop) this.#pass(LOOK_MS / 2);
      this.#pass(this.#hand(REACTION_MS));
      this.#pan.stream(0);
    }
  }

  /** About `g` more water, as an exercise asks for it: it need not be exact. */
  #add(g: number): void {
    const end = this.#g + g;
    this.#streamTo(end, ANY_DROP, FLOW);
    this.#pass(this.#hand(500));
    const left = end - this.#g;
    if (left > g / 2) this.#drops(Math.ceil(left / ANY_DROP), ANY_DROP);
  }

  #rest(): void {
    for (let looked = 0; looked < 8000; looked += LOOK_MS) {
      this.#pass(LOOK_MS);
      if (looked > 700 && this.#run.bench.settling.settled !== null) return;
    }
  }

  exercise(): void {
    for (;;) {
      const state = this.#run.exercise;
      const step = state === null ? null : stepNow(state);
      if (state === null || step === null) return;
      this.#step(step, () => {
        if (step.do !== 'answer') throw new Error('no answer is asked');
        return wantedOf(state, step.wanted);
      });
    }
  }

  #step(step: ExerciseStep, wanted: () => string): void {
    const { zeroes, forgetsTare } = this.#character;
    const run = this.#run;
    const done = () => run.ask({ do: 'done' });
    switch (step.do) {
      case 'look':
        this.#pass(this.#hand(1500));
        done();
        return;
      case 'zero':
        this.#rest();
        if (zeroes) this.#key('zero');
        done();
        return;
      case 'put':
        run.put(true);
        this.#pass(this.#hand(900));
        while (this.#g < 2) this.#pass(LOOK_MS);
        done();
        return;
      case 'off':
        run.put(false);
        this.#pass(this.#hand(900));
        while (this.#g >= 2) this.#pass(LOOK_MS);
        done();
        return;
      case 'add': {
        if (step.drops === undefined) this.#add(Number(step.g));
        else this.#drops(step.drops, ANY_DROP);
        done();
        return;
      }
      case 'tare':
        this.#rest();
        if (!forgetsTare) this.#key('tare');
        done();
        return;
      case 'read':
        this.#waitForFigure();
        run.ask({ do: 'read' });
        return;
      case 'count':
        run.ask({ do: 'answer', value: '10' });
        return;
      case 'answer': {
        const right = wanted();
        const mixed = step.wanted.from === 'difference' || step.wanted.from === 'sum';
        this.#pass(this.#hand(3000));
        run.ask({ do: 'answer', value: forgetsTare && mixed ? this.#g.toFixed(2) : right });
        return;
      }
    }
  }

  #key(key: 'zero' | 'tare'): void {
    void this.#run.bench.balance?.press(key);
    this.#run.pressed(key);
    this.#rest();
  }

  pour(): void {
    const { run } = { run: this.#run };
    this.#rest();
    if (this.#character.zeroes) this.#key('zero');
    run.put(true);
    this.#waitForFigure();
    this.#press(() => run.command({ type: 'confirm-vessel', settled: run.bench.settling.settled }));
    const until = this.#clock.now() + LONGEST_MS;
    while (!run.done) {
      const state = run.bench.batch?.state;
      if (state === undefined || this.#clock.now() > until)
        throw new Error(`the lesson did not end: ${state?.phase ?? 'no batch'}`);
      this.#moment(state);
    }
  }

  #moment(state: PourState): void {
    switch (state.phase) {
      case 'bottle':
        this.#bottle(state);
        return;
      case 'pouring':
        this.#line(state);
        return;
      case 'over':
        this.#pass(this.#hand(4000));
        this.#choose(state);
        return;
      case 'withdrawing':
        this.#pan.withdraw(Number(state.withdrawing?.aim ?? 0));
        this.#rest();
        this.#waitForFigure();
        return;
      case 'closing':
        this.#close(state);
        return;
      default:
        throw new Error(`nothing is done in the phase ${state.phase}`);
    }
  }

  #choose(state: PourState): void {
    const { settled } = this.#run.bench.settling;
    if (state.phase !== 'over' || settled === null) return;
    /* A heavy hand that has put right twice lets it be. */
    const chosen = this.#chosen >= 2 && this.#character.heavy ? [] : this.#character.chooses;
    this.#chosen += 1;
    for (const choice of [...chosen, 'keep'] as const) {
      try {
        this.#run.command({ type: 'choose', choice });
        return;
      } catch (cause) {
        if (!(cause instanceof PourRefusal)) throw cause;
      }
    }
  }

  #bottle(state: PourState): void {
    const { heeds, freshPipettes, readsLots } = this.#character;
    const run = this.#run;
    const line = nextLine(state);
    if (line === null) throw new Error('no line is left');
    const must = state.facts.cautions === 'required';
    for (const { key } of cautionsDue(state))
      if (must || this.#does(heeds)) run.command({ type: 'heed', caution: key });
    if (!run.freshPipette && this.#does(freshPipettes)) run.takePipette();
    if (this.#character.waits < 0) this.#pass(this.#hand(150));
    else this.#pass(this.#hand(4000));
    const { task } = run.lesson;
    const shelf = task.engine === 'pour' ? task.shelf : undefined;
    const wrong = shelf?.find((code) => code !== line.step.lot);
    const how = shelf === undefined ? 'by eye' : 'by scan';
    const take = (lot: string) =>
      run.command({
        type: 'confirm-bottle',
        how,
        ...(shelf === undefined ? {} : { lot }),
        settled: run.bench.settling.settled,
      });
    if (wrong !== undefined && !this.#does(readsLots)) {
      try {
        take(wrong);
      } catch (cause) {
        if (!(cause instanceof PourRefusal)) throw cause;
      }
      this.#pass(1500);
    }
    if (run.bench.batch?.state.phase === 'bottle') this.#press(() => take(line.step.lot));
  }

  /** Pours the line in hand: a stream, a look, drops. */
  #line(state: PourState): void {
    const hand = state.inHand;
    if (hand === null) return;
    const line = lineOf(state, hand.line);
    const { aim, low } = pourWindow(state, line);
    const drop = Number(line.step.drop);
    const end = hand.before.plus(aim).toNumber();
    this.#streamTo(end, drop, line.step.kind === 'solvent' ? BOTTLE_FLOW : FLOW);
    this.#rest();
    for (let tries = 0; tries < 40; tries += 1) {
      const now = this.#run.bench.batch?.state;
      if (now?.phase !== 'pouring' || now.inHand?.line !== hand.line) return;
      const left = end - this.#g;
      const short = hand.before.plus(low).toNumber() - this.#g;
      if (short <= 0) this.#pass(500);
      else if (this.#character.heavy) this.#drops(Math.max(3, Math.ceil(left / drop) + 1), drop);
      else this.#drops(Math.max(1, Math.floor(left / drop + 0.3)), drop);
      this.#rest();
    }
  }

  #close(state: PourState): void {
    const run = this.#run;
    if (state.closing === null) {
      this.#waitForFigure();
      const { checks } = this.#character;
      this.#press(() =>
        run.command({ type: checks ? 'weigh-off' : 'close', settled: run.bench.settling.settled }),
      );
      return;
    }
    run.put(false);
    this.#rest();
    this.#rest();
    this.#press(() => run.command({ type: 'close', settled: run.bench.settling.settled }));
  }
}

export interface Lived {
  readonly score: Score;
  readonly run: LessonRun;
  /** By the stepped clock, s. */
  readonly seconds: number;
}

const START = Date.UTC(2026, 0, 5, 9);

/** One lesson by one scripted learner; the same seed gives the same score. */
export async function live(lesson: Lesson, name: CharacterName, seed: number): Promise<Lived> {
  const clock = new SteppedClock(START);
  const link = simulatedBalance({ seed, clock, room: ROOMS[lesson.room], model: MODELS.A });
  let ids = 0;
  const bench = new Bench({
    journal: memoryJournal(),
    now: () => clock.now(),
    newId: () => {
      ids += 1;
      return `batch ${ids}`;
    },
  });
  await bench.attach(link);
  clock.advance(3000);
  const learner = { id: name, name, added: new Date(START).toISOString() };
  const run = new LessonRun({ lesson, learner, bench, pan: link.controls, now: () => clock.now(), seed });
  const person = new Person(run, clock, link.controls, CHARACTERS[name], seeded(seed * 7 + 3));
  if (lesson.task.engine === 'exercise') person.exercise();
  else person.pour();
  /* Until the feedback is asked for, the balance goes on showing. */
  clock.advance(2000);
  run.end();
  const score = scoreOf(run.evidence(), {});
  await bench.detach();
  return { score, run, seconds: (clock.now() - START) / 1000 };
}
