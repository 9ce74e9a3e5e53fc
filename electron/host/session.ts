import { plan } from '../../core/formula/plan.ts';
import { begunAgain } from '../../core/pour/again.ts';
import { breakDue } from '../../core/pour/breaks.ts';
import type { PourCommand } from '../../core/pour/commands.ts';
import { decide } from '../../core/pour/decide.ts';
import type { PourEvent, StoredEvent } from '../../core/pour/events.ts';
import { evolve, fold } from '../../core/pour/evolve.ts';
import { netTotal, type PourState } from '../../core/pour/state.ts';
import { plain } from '../../core/quantity/decimal.ts';
import { learnDrop } from '../../core/weighing/drops.ts';
import type { LinkState, Observation, Reading } from '../../core/weighing/reading.ts';
import { cleared, type SettlingState, settle, unsettled } from '../../core/weighing/settling.ts';
import type { Balance } from '../../drivers/link/balance.ts';
import type { Batch, BenchMeans, Live, StartOrder } from './bench-facts.ts';
import { type DropBook, emptyDropBook } from './drop-book.ts';
import { betweenRests } from './drop-evidence.ts';
import { type Movement, moved } from './hand.ts';
import { limitsFor } from './limits.ts';
import { away, heedReading, type Minded, minded, mindedFrom, newlyMinded, timeAway } from './minding.ts';
import { shelfBeside } from './shelf-beside.ts';
import type { Beside } from './store/journal.ts';
import type { BenchView } from './table.ts';
import { benchView } from './view/bench-view.ts';
import { isTyped } from './view/typed.ts';

const NO_LIVE: Live = { link: { kind: 'none' }, reading: null, range: 'inside', message: null, at: 0 };

/** More readings than this of one pour are not kept: at 20 a second, ten minutes. */
const TRACE_LIMIT = 12_000;

/**
 * One bench: a balance, and at most one batch on it. Every observation goes the same way: settling, decide,
 * one transaction, evolve, view. What is not on disk is never shown as captured.
 */
export class Bench {
  readonly #means: BenchMeans;
  readonly #viewers = new Set<(view: BenchView) => void>();
  readonly #hearers = new Set<(events: readonly StoredEvent[]) => void>();
  readonly #observers = new Set<(observation: Observation) => void>();
  #balance: Balance | null = null;
  /** How the balance before was reached; a change during a batch is noted. */
  #reachedBy: string | null = null;
  #unhear: (() => void)[] = [];
  #live: Live = NO_LIVE;
  #settling: SettlingState = unsettled;
  #batch: Batch | null = null;
  #trouble: string | null = null;
  #trace: Reading[] = [];
  #movement: Movement = [];
  /** Levels at rest since the pour began, oldest first. */
  #rests: string[] = [];
  readonly #drops: DropBook;
  #minded: Minded = newlyMinded();

  constructor(means: BenchMeans) {
    this.#means = means;
    this.#drops = means.drops ?? emptyDropBook();
  }

  get live(): Live {
    return this.#live;
  }

  get batch(): Batch | null {
    return this.#batch;
  }

  get balance(): Balance | null {
    return this.#balance;
  }

  /** The reading at rest at this moment; null while it moves. */
  get settling(): SettlingState {
    return this.#settling;
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
    this.#live = NO_LIVE;
    this.#settling = unsettled;
    if (old !== null) await old.stop();
  }

  /**
   * Plans and starts a batch. @returns its id
   * @throws FormulaTrouble when it cannot be planned; RangeError when a batch is on the bench
   */
  start(order: StartOrder): string {
    if (this.#batch !== null && this.#underWay())
      throw new RangeError(`"${this.#batch.name}" is still on the bench`);
    const limits = order.planned?.limits ?? limitsFor(this.#live.reading);
    const made = order.planned?.plan ?? plan(order.formula, order.materials, order.lots, limits);
    const used = new Set(made.steps.map((step) => step.lot));
    const event: PourEvent = {
      type: 'started',
      operator: order.operator,
      balance: { ...order.balance, link: this.#balance?.what ?? 'none', limits },
      formula: order.formula,
      plan: made,
      materials: order.materials,
      lots: order.lots.filter((lot) => used.has(lot.code)),
      ...shelfBeside(order, used, this.#stamp()),
      ...(order.cautions === undefined ? {} : { cautions: order.cautions }),
    };
    const id = this.#means.newId();
    const stored = this.#means.journal.begin({ id, name: order.formula.name, at: this.#stamp() }, [event]);
    this.#batch = { id, name: order.formula.name, state: fold([event]) };
    this.#settling = unsettled;
    this.#minded = newlyMinded();
    this.#tell(stored);
    return id;
  }

  /** Takes up a batch from its stored events. @throws RangeError when it has none or has ended */
  takeUp(id: string): void {
    const stored = this.#means.journal.events(id);
    const events = stored.map((one) => one.event);
    const state = fold(events);
    if (state.phase === 'closed' || state.phase === 'abandoned') throw new RangeError('this batch has ended');
    this.#batch = { id, name: state.facts.formula.name, state };
    this.#settling = unsettled;
    this.#minded = mindedFrom(stored, this.#means.now());
    const live = this.#live.link.kind === 'live';
    if (state.lost !== null && live) this.#act({ type: 'balance-back' });
    this.#show();
  }

  /** Takes an ended batch off the bench. An open one stays interrupted in the journal and can be taken up again. */
  leave(): void {
    this.#batch = null;
    this.#trouble = null;
    this.#show();
  }

  /** Does a command of the person. @throws PourRefusal when it does not fit; RangeError when no batch is on the bench */
  do(command: PourCommand): void {
    if (this.#batch === null) throw new RangeError('no batch is on the bench');
    const again = command.type === 'choose' && command.choice === 'again';
    const timed =
      command.type === 'resume' ? { ...command, ...timeAway(this.#minded, this.#means.now()) } : command;
    this.#act(again ? { ...command, next: this.#means.newId() } : timed);
    this.#show();
  }

  /** The person says the pour is done: what was read before does not count for settling. */
  settleAnew(): void {
    this.#settling = cleared(this.#settling);
    this.#show();
  }

  /**
   * The person says how many drops fell between the last two readings at rest: their mass is learnt for this lot.
   * @throws PourRefusal when there are no two readings at rest to tell it from; RangeError when the count is none
   */
  learnDrops(count: number): void {
    const state = this.#batch?.state ?? null;
    const { lot, rise } = betweenRests(state, this.#rests, this.#settling.settled);
    const d = Number(state?.facts.balance.limits.d);
    const kept = this.#drops.learn(lot, learnDrop(rise.toNumber(), count, d));
    const mg = (g: number) => (g * 1000).toFixed(1);
    this.#act({
      type: 'note',
      what: 'drop learnt',
      detail: `${count} drops of lot ${lot} weighed ${plain(rise)} g; a drop is taken as ${mg(kept.mean)} mg, standard uncertainty ${mg(kept.u)} mg`,
    });
    this.#show();
  }

  view(): BenchView {
    const hand = { movement: this.#movement, drops: this.#drops };
    const due = breakDue(this.#minded.work, this.#means.now());
    return benchView(this.#live, this.#settling, this.#batch, this.#trouble, { ...hand, breakDue: due });
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

  #stamp(): string {
    return new Date(this.#means.now()).toISOString();
  }

  #show(): void {
    if (this.#viewers.size === 0) return;
    const view = this.view();
    for (const listener of this.#viewers) listener(view);
  }

  #tell(events: readonly StoredEvent[]): void {
    this.#minded = minded(this.#minded, events);
    for (const listener of this.#hearers) listener(events);
    this.#show();
  }

  /** Decide, store, evolve: the state moves only after the events are on disk. */
  #act(command: PourCommand): void {
    const batch = this.#batch;
    if (batch === null) return;
    const events = decide(batch.state, command);
    if (events.length === 0) return;
    let state = batch.state;
    for (const event of events) state = evolve(state, event);
    const next = events.flatMap((event) => (event.type === 'abandoned' ? (event.followedBy ?? []) : []))[0];
    if (next !== undefined) {
      this.#succeed(batch, events, state, next);
      return;
    }
    const stored = this.#means.journal.append(batch.id, this.#stamp(), events, this.#beside(events, state));
    this.#batch = { ...batch, state };
    this.#trouble = null;
    if (events.some((event) => event.type === 'pour-begun' || event.type === 'voided')) {
      this.#settling = cleared(this.#settling);
      this.#trace = [];
      this.#movement = [];
      this.#rests = state.inHand === null ? [] : [plain(state.inHand.before)];
    }
    /* The vessel may have been lifted since the figure was typed: closing asks for one of its own. */
    if (isTyped(this.#live.link) && state.phase === 'closing' && batch.state.phase !== 'closing')
      this.#settling = cleared(this.#settling);
    this.#tell(stored);
  }

  /** The batch ends, and the one that begins it anew is on the bench. */
  #succeed(batch: Batch, events: readonly PourEvent[], state: PourState, id: string): void {
    const at = this.#stamp();
    const first = begunAgain(batch.state, batch.id);
    const { name } = batch;
    const stored = this.#means.journal.succeed(
      { batch: batch.id, at, events },
      { id, name, at, events: [first] },
    );
    this.#batch = { ...batch, state };
    this.#trouble = null;
    this.#tell(stored.ended);
    this.#batch = { id, name, state: fold([first]) };
    this.#settling = unsettled;
    this.#trace = [];
    this.#tell(stored.begun);
  }

  #beside(events: readonly PourEvent[], state: PourState): Beside {
    if (events.some((event) => event.type === 'closed')) return { total: plain(netTotal(state)) };
    const first = this.#trace[0];
    if (first === undefined || !events.some((event) => event.type === 'captured' || event.type === 'revised'))
      return {};
    const start = new Date(first.at).toISOString();
    return { trace: { start, readings: this.#trace.map((one) => [one.at - first.at, one.g] as const) } };
  }

  /** A command that comes from the balance, not from a person: a failure to store it is shown, never lost. */
  #actFromBalance(command: PourCommand): void {
    try {
      this.#act(command);
    } catch (cause) {
      this.#trouble = `The record cannot be written: ${cause instanceof Error ? cause.message : String(cause)}. Nothing more is captured until it can.`;
    }
  }

  #onLink(link: LinkState): void {
    const was = this.#live.link.kind;
    this.#live = { ...this.#live, link, ...(link.kind === 'live' ? {} : { reading: null, message: null }) };
    if (link.kind !== 'live') this.#settling = unsettled;
    if (link.kind === 'lost' || link.kind === 'silent')
      this.#actFromBalance({ type: 'balance-lost', why: link.kind === 'lost' ? link.why : 'it is silent' });
    else if (link.kind === 'live' && was !== 'live') this.#actFromBalance({ type: 'balance-back' });
    if (link.kind !== 'live') this.#minded = away(this.#minded, this.#means.now());
    this.#show();
  }

  #onObservation(observation: Observation): void {
    const { at } = observation;
    if (observation.kind === 'weight') this.#onReading(observation);
    else if (observation.kind === 'out-of-range') {
      this.#settling = unsettled;
      this.#note(
        this.#live.range === observation.way ? null : 'overload',
        `the balance was ${observation.way} its range`,
      );
      this.#live = { ...this.#live, reading: null, range: observation.way, message: null, at };
    } else if (observation.kind === 'not-a-weight') {
      this.#settling = unsettled;
      this.#note(this.#live.message === observation.what ? null : 'not a weight', observation.what);
      this.#live = { ...this.#live, reading: null, message: observation.what, at };
    } else if (observation.kind === 'fault') this.#live = { ...this.#live, message: observation.what, at };
    else if (observation.kind === 'refused') this.#live = { ...this.#live, message: observation.why, at };
    for (const listener of this.#observers) listener(observation);
    this.#show();
  }

  #onReading(reading: Reading): void {
    this.#live = { ...this.#live, reading, range: 'inside', message: null, at: reading.at };
    const before = this.#settling.settled;
    const state = this.#batch?.state;
    const d = Number(state?.facts.balance.limits.d ?? limitsFor(reading).d);
    this.#settling = settle(this.#settling, reading, { pouring: state?.phase === 'pouring', d });
    /* A typed figure tells nothing of how the hand moves. */
    this.#movement = reading.typed === true ? [] : moved(this.#movement, reading, d);
    if (this.#batch !== null && this.#trace.length < TRACE_LIMIT) this.#trace.push(reading);
    const { settled } = this.#settling;
    if (state !== undefined) this.#mind(reading, state);
    if (settled === null || settled === before) return;
    if (this.#rests.at(-1) !== settled.g) this.#rests = [...this.#rests.slice(-7), settled.g];
    this.#actFromBalance({ type: 'settled', settled });
  }

  /** What the readings tell besides a pour: a lifted vessel, a zeroed display, another unit, a gross that drifted. */
  #mind(reading: Reading, state: PourState): void {
    const seen = heedReading(this.#minded, reading, this.#settling.settled, state);
    this.#minded = seen.minded;
    for (const command of seen.commands) this.#actFromBalance(command);
  }

  #note(what: string | null, detail: string): void {
    if (what !== null && this.#underWay()) this.#actFromBalance({ type: 'note', what, detail });
  }
}
