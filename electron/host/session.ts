import type { Lot } from '../../core/formula/types.ts';
import { breakDue } from '../../core/pour/breaks.ts';
import { type PourCommand, PourRefusal } from '../../core/pour/commands.ts';
import type { StoredEvent } from '../../core/pour/events.ts';
import { fold } from '../../core/pour/evolve.ts';
import type { PourState } from '../../core/pour/state.ts';
import { plain } from '../../core/quantity/decimal.ts';
import { type DropSize, learnDrop } from '../../core/weighing/drops.ts';
import type { LinkState, Observation, Reading } from '../../core/weighing/reading.ts';
import type { SettlingState } from '../../core/weighing/settling.ts';
import type { Balance } from '../../drivers/link/balance.ts';
import type { Batch, BenchMeans, Live, StartOrder } from './bench-facts.ts';
import { type DropBook, emptyDropBook } from './drop-book.ts';
import { betweenRests, notRisen, swallowedText } from './drop-evidence.ts';
import { Hearing } from './hearing.ts';
import { away, heedReading, type Minded, minded, mindedFrom, newlyMinded, timeAway } from './minding.ts';
import { beginBatch, failureText, type Step, type StepPlace, takeStep } from './steps.ts';
import { StoreTrouble } from './store/trouble.ts';
import type { BenchView } from './table.ts';
import { benchView, unshownView } from './view/bench-view.ts';

/** What could not be stored is tried again after so long, ms. */
const AGAIN_MS = 1000;

/** A command from the balance that failed: what to say, and when; `again` where only the store failed. */
interface Failure {
  readonly text: string;
  readonly at: number;
  readonly again: boolean;
}

/**
 * One bench: a balance, and at most one batch on it. Every observation goes the same way: settling, decide,
 * one transaction, evolve, view. What is not on disk is never shown as captured.
 */
export class Bench {
  readonly #means: BenchMeans;
  readonly #viewers = new Set<(view: BenchView) => void>();
  readonly #hearers = new Set<(events: readonly StoredEvent[]) => void>();
  readonly #observers = new Set<(observation: Observation) => void>();
  readonly #drops: DropBook;
  readonly #heard = new Hearing();
  #balance: Balance | null = null;
  /** How the balance before was reached; a change during a batch is noted. */
  #reachedBy: string | null = null;
  #unhear: (() => void)[] = [];
  #batch: Batch | null = null;
  #failure: Failure | null = null;
  #minded: Minded = newlyMinded();

  constructor(means: BenchMeans) {
    this.#means = means;
    this.#drops = means.drops ?? emptyDropBook();
  }

  get live(): Live {
    return this.#heard.live;
  }

  get batch(): Batch | null {
    return this.#batch;
  }

  get balance(): Balance | null {
    return this.#balance;
  }

  /** The reading at rest at this moment; null while it moves. */
  get settling(): SettlingState {
    return this.#heard.settling;
  }

  /** Takes a balance onto the bench and starts it; the one before is let go first. */
  async attach(balance: Balance): Promise<void> {
    await this.detach();
    this.#balance = balance;
    this.#unhear = [
      balance.onState((state) => this.#onLink(state)),
      balance.onObservation((observation) => this.#onObservation(observation)),
    ];
    balance.start();
    const was = this.#reachedBy;
    this.#reachedBy = balance.what;
    if (was !== null && was !== balance.what && this.#underWay())
      this.#actFromBalance({
        type: 'note',
        what: 'balance changed',
        detail: `${was} before, ${balance.what} from here on`,
      });
    this.#onLink(balance.state);
  }

  /** Lets the balance go for a while, in sight of the windows; its port is free when the promise resolves. */
  async release(): Promise<void> {
    await this.detach();
    this.#show();
  }

  /** Lets the balance go; its port is free when the promise resolves. */
  async detach(): Promise<void> {
    for (const stop of this.#unhear) stop();
    this.#unhear = [];
    const old = this.#balance;
    this.#balance = null;
    this.#heard.forget();
    if (old !== null) await old.stop();
  }

  /**
   * Plans and starts a batch. @returns its id
   * @throws FormulaTrouble when it cannot be planned; RangeError when a batch is on the bench
   */
  start(order: StartOrder): string {
    if (this.#batch !== null && this.#underWay())
      throw new RangeError(`"${this.#batch.name}" is still on the bench`);
    const id = this.#means.newId();
    const link = this.#balance?.what ?? 'none';
    const begun = beginBatch(order, { id, link, reading: this.live.reading }, this.#place());
    this.#minded = newlyMinded();
    this.#follow(begun);
    return id;
  }

  /** Takes up a batch from its stored events. @throws RangeError when it has none or has ended */
  takeUp(id: string): void {
    const stored = this.#means.journal.events(id);
    const events = stored.map((one) => one.event);
    const state = fold(events);
    if (state.phase === 'closed' || state.phase === 'abandoned') throw new RangeError('this batch has ended');
    this.#batch = { id, name: state.facts.formula.name, state };
    this.#heard.unsettle();
    this.#minded = mindedFrom(stored, this.#means.now());
    const live = this.live.link.kind === 'live';
    if (state.lost !== null && live) this.#act({ type: 'balance-back' });
    this.#show();
  }

  /** Takes an ended batch off the bench. An open one stays interrupted in the journal and can be taken up again. */
  leave(): void {
    this.#batch = null;
    this.#failure = null;
    this.#show();
  }

  /** Does a command of the person. @throws PourRefusal when it does not fit; RangeError when no batch is on the bench */
  do(command: PourCommand): void {
    if (this.#batch === null) throw new RangeError('no batch is on the bench');
    const again = command.type === 'choose' && command.choice === 'again';
    const timed =
      command.type === 'resume' ? { ...command, ...timeAway(this.#minded, this.#means.now()) } : command;
    if (command.type === 'was-next') this.#act({ ...command, stood: this.#heard.stood });
    else this.#act(again ? { ...command, next: this.#means.newId() } : timed);
    this.#show();
  }

  /** The person says the pour is done: what was read before does not count for settling. */
  settleAnew(): void {
    this.#heard.settleAnew();
    this.#show();
  }

  /**
   * The person says how many drops fell between the last two readings at rest: their mass is learnt for this liquid and
   * the pipette in use.
   * @throws PourRefusal when there are no two readings at rest to tell it from, or when drops seem to be swallowed;
   * RangeError when the count is none
   */
  learnDrops(count: number): void {
    const state = this.#batch?.state ?? null;
    const d = Number(state?.facts.balance.limits.d);
    const evidence = betweenRests(state, this.#heard.rests, this.settling.settled, d);
    const { lot, rise } = evidence;
    const missing = swallowedText(count, evidence, this.#expectedDrop(lot, rise.isZero()), d);
    if (missing !== null) {
      this.#act({ type: 'note', what: 'drops missing', detail: missing });
      throw new PourRefusal(
        `${missing}.`,
        'Nothing was learnt from it. Do not tare before drops: weigh on from the gross as it stands.',
      );
    }
    if (rise.isZero()) throw notRisen();
    const kept = this.#drops.learn(lot, learnDrop(rise.toNumber(), count, d));
    const mg = (g: number) => (g * 1000).toFixed(1);
    this.#act({
      type: 'note',
      what: 'drop learnt',
      detail: `${count} drops of lot ${lot.code} from the ${this.#drops.pipette} weighed ${plain(rise)} g; a drop is taken as ${mg(kept.mean)} mg, standard uncertainty ${mg(kept.u)} mg`,
    });
    this.#show();
  }

  /** What a drop should weigh: as learnt; as planned only where nothing at all was seen of the drops. */
  #expectedDrop(lot: Lot, unseen: boolean): DropSize | null {
    const known = this.#drops.known(lot);
    const line = this.#batch?.state.lines.find((one) => one.step.lot === lot.code);
    return known ?? (unseen && line !== undefined ? this.#drops.of(line.step, [lot]) : null);
  }

  /** The person says which pipette is in use from now on: its drops are its own. */
  usePipette(name: string): void {
    this.#drops.use(name);
    this.#show();
  }

  /** What a window shows. A batch that cannot be shown is told as that: it never takes the program with it. */
  view(): BenchView {
    const { live, settling, movement } = this.#heard;
    const batch = this.#batch;
    try {
      const due = breakDue(this.#minded.work, this.#means.now());
      const hand = { movement, drops: this.#drops, breakDue: due, risen: this.#heard.stood !== null };
      return benchView(live, settling, batch, this.#failure?.text ?? null, hand);
    } catch (cause) {
      if (batch === null) throw cause;
      return unshownView(live, settling, batch, cause);
    }
  }

  onView(listener: (view: BenchView) => void): () => void {
    this.#viewers.add(listener);
    return () => this.#viewers.delete(listener);
  }

  onEvents(listener: (events: readonly StoredEvent[]) => void): () => void {
    this.#hearers.add(listener);
    return () => this.#hearers.delete(listener);
  }

  /** Hears every observation of the balance, batch or none, once the bench has taken it in. */
  onObservation(listener: (observation: Observation) => void): () => void {
    this.#observers.add(listener);
    return () => this.#observers.delete(listener);
  }

  #underWay(): boolean {
    const phase = this.#batch?.state.phase;
    return phase !== undefined && phase !== 'closed' && phase !== 'abandoned';
  }

  #place(): StepPlace {
    return { journal: this.#means.journal, at: new Date(this.#means.now()).toISOString() };
  }

  #show(): void {
    if (this.#viewers.size === 0) return;
    const view = this.view();
    for (const listener of this.#viewers) listener(view);
  }

  /** Does a command; the state moves only after its events are on disk. */
  #act(command: PourCommand): void {
    if (this.#batch === null) return;
    for (const step of takeStep(this.#batch, command, this.#heard.trace, this.#place())) this.#follow(step);
  }

  /** A step that is on disk: from here on it is shown and told. */
  #follow(step: Step): void {
    this.#batch = step.batch;
    this.#failure = null;
    this.#heard.follow(step);
    this.#minded = minded(this.#minded, step.stored);
    for (const listener of this.#hearers) listener(step.stored);
    this.#show();
  }

  /** A command that comes from the balance, not from a person: a failure is shown, never lost. */
  #actFromBalance(command: PourCommand): void {
    try {
      this.#act(command);
    } catch (cause) {
      const again = cause instanceof StoreTrouble;
      this.#failure = { text: failureText(cause), at: this.live.at, again };
    }
  }

  #onLink(link: LinkState): void {
    const was = this.#heard.link(link);
    if (link.kind === 'lost' || link.kind === 'silent')
      this.#actFromBalance({ type: 'balance-lost', why: link.kind === 'lost' ? link.why : 'it is silent' });
    else if (link.kind === 'live' && was !== 'live') this.#actFromBalance({ type: 'balance-back' });
    if (link.kind !== 'live') this.#minded = away(this.#minded, this.#means.now());
    this.#show();
  }

  #onObservation(observation: Observation): void {
    if (observation.kind === 'weight') this.#onReading(observation);
    else {
      const news = this.#heard.say(observation);
      if (news !== null && this.#underWay()) this.#actFromBalance({ type: 'note', ...news });
    }
    for (const listener of this.#observers) listener(observation);
    this.#show();
  }

  #onReading(reading: Reading): void {
    const before = this.settling.settled;
    const state = this.#batch?.state;
    this.#heard.read(
      reading,
      state === undefined
        ? null
        : { pouring: state.phase === 'pouring', d: Number(state.facts.balance.limits.d) },
    );
    const { settled } = this.settling;
    if (state !== undefined) this.#mind(reading, state);
    if (settled === null || (settled === before && !this.#isDueAgain(reading.at))) return;
    this.#heard.rested(settled.g);
    this.#actFromBalance({ type: 'settled', settled });
  }

  /** Whether the store failed a while ago: what was at rest then may be stored now. */
  #isDueAgain(at: number): boolean {
    const failure = this.#failure;
    return failure?.again === true && at - failure.at >= AGAIN_MS;
  }

  /** What the readings tell besides a pour: a lifted vessel, a zeroed display, another unit, a gross that drifted. */
  #mind(reading: Reading, state: PourState): void {
    const seen = heedReading(this.#minded, reading, this.settling.settled, state);
    this.#minded = seen.minded;
    for (const command of seen.commands) this.#actFromBalance(command);
  }
}
