import { choicesOf } from '../../core/pour/choices.ts';
import { PourRefusal } from '../../core/pour/commands.ts';
import type { ChoiceKind, CorrectionKind } from '../../core/pour/events.ts';
import { lineOf, nextLine, type PourState } from '../../core/pour/state.ts';
import { pourWindow } from '../../core/pour/window.ts';
import { decimal } from '../../core/quantity/decimal.ts';
import type { Settled } from '../../core/weighing/settling.ts';
import type { Bench } from '../host/session.ts';
import type { PourLine } from './pour-line.ts';
import { grams } from './tell.ts';
import { Unfinished } from './unfinished.ts';

/** Correction to take; `withdraw` takes as little out as will do, and the least correction where nothing can be. */
export type OnOverpour = CorrectionKind | 'withdraw';

export interface PilotOptions {
  readonly onOverpour: OnOverpour;
  /** A settled zero counts as a vessel that was tared on the display. */
  readonly tared: boolean;
}

/**
 * A capture is watched for so long before the next bottle is taken, because a better settled value may still revise it;
 * a capture past its window and the last one of all longer, because what follows is dearer.
 */
const WATCH_MS = 800;
const WATCH_LONG_MS = 1500;

/**
 * Does on the bench what a person does at the window: takes the vessel, confirms each bottle, takes the correction,
 * closes. It acts on what the bench shows after each reading and on nothing else, so that a batch taken up again goes
 * on from wherever it stood.
 */
export class Pilot {
  readonly #bench: Bench;
  readonly #options: PilotOptions;
  readonly #emit: (line: PourLine) => void;
  readonly #done = Promise.withResolvers<void>();
  readonly #stopHearing: () => void;
  #queued = false;
  #stopped = false;
  #said = '';
  /** Since when the present phase has been watched, and of which capture. */
  #watch = { key: '', since: 0 };

  constructor(bench: Bench, options: PilotOptions, emit: (line: PourLine) => void) {
    this.#bench = bench;
    this.#options = options;
    this.#emit = emit;
    this.#stopHearing = bench.onView(() => this.#queue());
    this.#queue();
  }

  /** Resolves when the batch has ended. @throws whatever hinders a command but a refusal, which is told and waited out */
  get ended(): Promise<void> {
    return this.#done.promise;
  }

  stop(): void {
    this.#stopped = true;
    this.#stopHearing();
  }

  /** The bench may be in the middle of storing when it shows itself: the act comes after that. */
  #queue(): void {
    if (this.#queued || this.#stopped) return;
    this.#queued = true;
    queueMicrotask(() => {
      this.#queued = false;
      if (this.#stopped) return;
      try {
        this.#act();
      } catch (cause) {
        if (cause instanceof PourRefusal)
          this.#sayOnce({ event: 'refused', what: cause.message, next: cause.next });
        else {
          this.stop();
          this.#done.reject(cause);
        }
      }
    });
  }

  #sayOnce(line: PourLine): void {
    const text = JSON.stringify(line);
    if (text === this.#said) return;
    this.#said = text;
    this.#emit(line);
  }

  #act(): void {
    const state = this.#bench.batch?.state;
    if (state === undefined || state.lost !== null) return;
    if (state.phase === 'closed' || state.phase === 'abandoned') {
      this.stop();
      this.#done.resolve();
      return;
    }
    const { settled } = this.#bench.settling;
    if (settled === null) return;
    /* Going on wants a reading at rest: only so is it seen what came onto the balance, or left it, meanwhile. */
    if (state.paused !== null) this.#bench.do({ type: 'resume', settled });
    else this.#atRest(state, settled);
  }

  /** @throws Unfinished in the middle of a pour whose gross is not as it was left: a script cannot say why */
  #atRest(state: PourState, settled: Settled): void {
    if (state.doubt !== null && (state.phase === 'pouring' || state.phase === 'withdrawing'))
      throw new Unfinished(
        `Not as it was left: ${state.doubt}.`,
        this.#bench.batch?.name ?? 'the batch',
        'Take the batch up in the window, and say there whether something was poured meanwhile.',
      );
    switch (state.phase) {
      case 'vessel':
        this.#takeVessel(state, settled);
        return;
      case 'bottle': {
        const line = nextLine(state);
        if (line !== null && this.#watched(state, WATCH_MS))
          this.#bench.do({ type: 'confirm-bottle', how: 'by script', lot: line.step.lot, settled });
        return;
      }
      case 'pouring':
        this.#tellUnder(state, settled);
        return;
      case 'over':
        if (this.#watched(state, WATCH_LONG_MS))
          this.#bench.do({ type: 'choose', choice: this.#choice(state) });
        return;
      case 'withdrawing':
        return;
      case 'closing':
        if (this.#watched(state, WATCH_LONG_MS)) this.#bench.do({ type: 'close', settled });
        return;
    }
  }

  #choice(state: PourState): ChoiceKind {
    const { onOverpour } = this.#options;
    if (onOverpour !== 'withdraw') return onOverpour;
    const { withdrawUnmixed, withdrawLeast } = choicesOf(state);
    if (withdrawUnmixed !== null) return 'withdraw-unmixed';
    if (withdrawLeast !== null) return 'withdraw-least';
    this.#sayOnce({
      event: 'refused',
      what: 'Nothing can be taken out here that would help.',
      next: 'The least correction is taken instead.',
    });
    return 'least';
  }

  /** An empty pan is not refused, only waited out: before the vessel is put down it is no mistake. */
  #takeVessel(state: PourState, settled: Settled): void {
    const { tared } = this.#options;
    const g = decimal(settled.g);
    const d = decimal(state.facts.balance.limits.d);
    if (g.gt(d.times(10)) || (tared && g.abs().lte(d.times(2))))
      this.#bench.do({ type: 'confirm-vessel', tared, settled });
  }

  /** Whether the present capture has been watched for long enough, by the times of the readings. */
  #watched(state: PourState, ms: number): boolean {
    const last = state.pours.at(-1);
    const key = `${state.phase} ${last?.pour} ${last?.after.toString()} ${state.withdrawn.toString()}`;
    const { at } = this.#bench.live;
    if (key !== this.#watch.key) this.#watch = { key, since: at };
    return at - this.#watch.since >= ms;
  }

  #tellUnder(state: PourState, settled: Settled): void {
    const hand = state.inHand;
    if (hand === null) return;
    const line = lineOf(state, hand.line);
    const net = decimal(settled.g).minus(hand.before);
    const { aim, low } = pourWindow(state, line);
    if (net.lte(decimal(state.facts.balance.limits.d).times(2)) || net.gte(low)) return;
    this.#sayOnce({ event: 'under', line: hand.line, to_go_g: grams(aim.minus(net)) });
  }
}
