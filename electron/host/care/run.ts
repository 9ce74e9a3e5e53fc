import { type CheckResult, resultOf } from '../../../core/weighing/check-results.ts';
import type { CheckedBalance } from '../../../core/weighing/check-rules.ts';
import {
  beginCheck,
  type CheckSaid,
  hearLost,
  hearNoWeight,
  hearReading,
  say,
} from '../../../core/weighing/check-run.ts';
import type { CheckRun } from '../../../core/weighing/check-state.ts';
import type { CheckOrder } from '../../../core/weighing/check-steps.ts';
import type { LinkState, Observation } from '../../../core/weighing/reading.ts';
import type { Bench } from '../session.ts';
import type { CareStore } from '../store/care.ts';
import type { Draft } from './drafts.ts';
import type { CheckBody } from './kept.ts';

/** What a check is kept under. */
export interface RunOf {
  readonly profile: string;
  readonly name: string;
  readonly serial: string;
  readonly balance: CheckedBalance;
}

/** Where a check is kept. */
export interface RunMeans {
  readonly care: CareStore;
  /** Writes what was taken so far. @throws StoreTrouble */
  draft(draft: Draft): void;
}

const whyAway = (link: LinkState): string | null => {
  switch (link.kind) {
    case 'live':
      return null;
    case 'lost':
      return link.why;
    case 'silent':
      return 'it is silent';
    case 'opening':
      return 'it is being taken up again';
    case 'none':
      return 'no balance is on the bench';
  }
};

const BEYOND = {
  over: 'The balance is over its range: take the load off.',
  under: 'The balance is under its range: it was zeroed with something on the pan. Empty it and press zero.',
};

/** A guided check on a bench: it hears the readings, and what came of it is on disk before it is shown. */
export class CareRun {
  readonly of: RunOf;
  readonly #bench: Bench;
  readonly #care: CareStore;
  readonly #draft: (draft: Draft) => void;
  readonly #balance: Bench['balance'];
  #state: CheckRun;
  #stop: (() => void)[];
  #result: CheckResult | null = null;
  /** Why what came of it could not be stored. */
  #unkept: string | null = null;
  /** Why what was taken so far is not on disk. */
  #undrafted: string | null = null;
  #stopped = false;

  /** @param means where it is kept at its end, and what was taken on its way there */
  constructor(bench: Bench, means: RunMeans, of: RunOf, order: CheckOrder) {
    this.of = of;
    this.#bench = bench;
    this.#care = means.care;
    this.#draft = means.draft;
    this.#balance = bench.balance;
    this.#state = beginCheck(order, of.balance);
    this.#stop = [
      bench.onObservation((observation) => this.#hear(observation)),
      bench.onView(() => this.#look()),
    ];
    this.#look();
  }

  get state(): CheckRun {
    return this.#state;
  }

  /** Null until it is done and stored. */
  get result(): CheckResult | null {
    return this.#unkept === null ? this.#result : null;
  }

  get unkept(): string | null {
    return this.#unkept;
  }

  /** Why what was taken so far would be lost if the program ended now. */
  get undrafted(): string | null {
    return this.#undrafted;
  }

  get stopped(): boolean {
    return this.#stopped;
  }

  get under(): boolean {
    return this.#stop.length > 0;
  }

  /** @throws CheckRefusal when it does not fit this moment */
  say(what: CheckSaid): void {
    this.#take(say(this.#state, what));
  }

  /** Ends it before its end; what was taken is kept as a stopped check. @throws StoreTrouble */
  stop(): void {
    if (!this.under) return;
    this.#leave();
    this.#stopped = true;
    if (this.#state.taken.length > 0) this.#keep(null);
  }

  /** Tries again to store what came of it. @throws StoreTrouble */
  keep(): void {
    if (this.#unkept === null) return;
    this.#keep(this.#result);
    this.#unkept = null;
  }

  #hear(observation: Observation): void {
    if (observation.kind === 'weight') this.#take(hearReading(this.#state, observation));
    else if (observation.kind === 'out-of-range')
      this.#take(hearNoWeight(this.#state, BEYOND[observation.way], true));
    else if (observation.kind === 'not-a-weight')
      this.#take(hearNoWeight(this.#state, `The balance shows no weight: ${observation.what}.`));
  }

  #look(): void {
    if (this.#bench.balance !== this.#balance) {
      this.#cut('another balance is on the bench');
      return;
    }
    if (this.#bench.batch !== null) {
      this.#cut('a batch was begun');
      return;
    }
    const why = whyAway(this.#bench.live.link);
    if (why !== null) this.#take(hearLost(this.#state, why));
  }

  /** It cannot go on: what was taken is kept. A store that fails is told here, not to the batch that begins. */
  #cut(why: string): void {
    this.#take(hearLost(this.#state, why));
    try {
      this.stop();
    } catch (cause) {
      this.#unkept = cause instanceof Error ? cause.message : String(cause);
    }
  }

  #take(next: CheckRun): void {
    if (!this.under) return;
    const news = next.taken !== this.#state.taken;
    this.#state = next;
    if (next.phase !== 'done') {
      if (news) this.#write();
      return;
    }
    this.#leave();
    this.#result = resultOf(next);
    try {
      this.#keep(this.#result);
    } catch (cause) {
      this.#unkept = cause instanceof Error ? cause.message : String(cause);
    }
  }

  /** What was taken is on disk before it is shown; where that fails it is said, and tried again with the next figure. */
  #write(): void {
    try {
      this.#draft(this.#written(null));
      this.#undrafted = null;
    } catch (cause) {
      this.#undrafted = cause instanceof Error ? cause.message : String(cause);
    }
  }

  #leave(): void {
    for (const stop of this.#stop) stop();
    this.#stop = [];
  }

  #keep(result: CheckResult | null): void {
    this.#care.addCheck(this.#written(result));
  }

  #written(result: CheckResult | null): Draft {
    const { order, balance, taken, samples } = this.#state;
    const { profile, name, serial } = this.of;
    const from = samples[0]?.at ?? 0;
    const watched = order.kind === 'drift' || order.kind === 'drops';
    const body: CheckBody = {
      order: { ...order },
      balance,
      name,
      serial,
      taken: [...taken],
      samples: watched ? samples.map(({ g, at }) => [at - from, g]) : [],
      result:
        result === null
          ? null
          : { ...result, rows: [...result.rows], rules: [...result.rules], main: { ...result.main } },
    };
    return { profile, at: new Date().toISOString(), kind: order.kind, body: JSON.stringify(body) };
  }
}
