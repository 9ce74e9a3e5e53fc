import type { PourEvent } from '../../core/pour/events.ts';
import { plain } from '../../core/quantity/decimal.ts';
import type { LinkState, Observation, Reading } from '../../core/weighing/reading.ts';
import {
  cleared,
  type Settled,
  type SettlingState,
  settle,
  unsettled,
} from '../../core/weighing/settling.ts';
import type { Live } from './bench-facts.ts';
import { type Movement, moved } from './hand.ts';
import { limitsFor } from './limits.ts';
import type { Step } from './steps.ts';
import { keepsTrace } from './store/trace-pack.ts';
import { isAlone } from './view/typed.ts';

const NO_LIVE: Live = { link: { kind: 'none' }, reading: null, range: 'inside', message: null, at: 0 };

/** So many of the latest readings are kept until they are stored: at 20 a second, ten minutes. */
const TRACE_LIMIT = 12_000;
/** So many levels at rest are remembered. */
const RESTS_KEPT = 8;

/** What the pour in hand says about a reading; null where no batch is on the bench. */
export interface HeardFor {
  readonly pouring: boolean;
  /** Display step of the balance the batch was begun on, g. */
  readonly d: number;
}

/** What a better value of the last pour, or a word about the balance, leaves as it was. */
const LEAVES_STOOD: readonly PourEvent['type'][] = ['revised', 'noticed', 'caution-heeded'];

/** What was watched at rest before a rise that this reading completes; null where it completes none. */
function risen(before: SettlingState, now: SettlingState): Settled | null {
  const { onset, told } = now;
  if (onset === null || onset === before.onset || before.told?.watched !== true || told === null) return null;
  return Number(told.settled.g) > Number(onset.before.g) ? onset.before : null;
}

/** What a bench hears of its balance: the reading of this moment, what is at rest, and the trace of the pour. */
export class Hearing {
  #live: Live = NO_LIVE;
  #settling: SettlingState = unsettled;
  #trace: Reading[] = [];
  #movement: Movement = [];
  #rests: readonly string[] = [];
  #stood: Settled | null = null;

  get live(): Live {
    return this.#live;
  }

  get settling(): SettlingState {
    return this.#settling;
  }

  /** Readings since the pour in hand began, less those that are stored beside its capture or a revision. */
  get trace(): readonly Reading[] {
    return this.#trace;
  }

  get movement(): Movement {
    return this.#movement;
  }

  /** Levels at rest since the pour began, oldest first. */
  get rests(): readonly string[] {
    return this.#rests;
  }

  /** What rested before a rise that no pour was begun for; null where there was none since the last capture. */
  get stood(): Settled | null {
    return this.#stood;
  }

  /** No balance is there any more. */
  forget(): void {
    this.#live = NO_LIVE;
    this.#settling = unsettled;
  }

  /** Nothing that was read before counts for settling, not even the pace of the balance. */
  unsettle(): void {
    this.#settling = unsettled;
  }

  /** Nothing that was read before counts for settling. */
  settleAnew(): void {
    this.#settling = cleared(this.#settling);
  }

  /** @returns what the way to the balance was before */
  link(link: LinkState): LinkState['kind'] {
    const was = this.#live.link.kind;
    this.#live = { ...this.#live, link, ...(link.kind === 'live' ? {} : { reading: null, message: null }) };
    if (link.kind !== 'live') this.#settling = unsettled;
    return was;
  }

  /** Something that is no weight. @returns what is new about it and worth a note: its name and detail */
  say(observation: Exclude<Observation, Reading>): { readonly what: string; readonly detail: string } | null {
    const before = this.#live;
    const { at } = observation;
    switch (observation.kind) {
      case 'out-of-range': {
        const { way } = observation;
        this.#settling = unsettled;
        this.#live = { ...before, reading: null, range: way, message: null, at };
        return before.range === way ? null : { what: 'overload', detail: `the balance was ${way} its range` };
      }
      case 'not-a-weight': {
        const { what } = observation;
        this.#settling = unsettled;
        this.#live = { ...before, reading: null, message: what, at };
        return before.message === what ? null : { what: 'not a weight', detail: what };
      }
      case 'fault':
        this.#live = { ...before, message: observation.what, at };
        return null;
      case 'refused':
        this.#live = { ...before, message: observation.why, at };
        return null;
      case 'noise':
        return null;
    }
  }

  /** One reading; afterwards `settling` tells what is at rest. */
  read(reading: Reading, batch: HeardFor | null): void {
    this.#live = { ...this.#live, reading, range: 'inside', message: null, at: reading.at };
    const d = batch?.d ?? Number(limitsFor(reading).d);
    const before = this.#settling;
    this.#settling = settle(before, reading, { pouring: batch?.pouring ?? false, d });
    if (batch?.pouring === false) this.#stood ??= risen(before, this.#settling);
    /* A typed figure tells nothing of how the hand moves. */
    this.#movement = reading.typed === true ? [] : moved(this.#movement, reading, d);
    if (batch === null) return;
    if (this.#trace.length >= TRACE_LIMIT) this.#trace.splice(0, TRACE_LIMIT / 10);
    this.#trace.push(reading);
  }

  /** A figure came to rest. */
  rested(g: string): void {
    if (this.#rests.at(-1) !== g) this.#rests = [...this.#rests.slice(1 - RESTS_KEPT), g];
  }

  /** The batch went on: what that means for what is heard from now on. */
  follow({ stored, before, batch: { state } }: Step): void {
    if (before === null) {
      this.#settling = unsettled;
      this.#trace = [];
      return;
    }
    if (stored.some(({ event }) => keepsTrace(event))) this.#trace = [];
    if (stored.some(({ event }) => !LEAVES_STOOD.includes(event.type))) this.#stood = null;
    if (stored.some(({ event }) => event.type === 'pour-begun' || event.type === 'voided')) {
      this.#settling = cleared(this.#settling);
      this.#trace = [];
      this.#movement = [];
      this.#rests = state.inHand === null ? [] : [plain(state.inHand.before)];
    }
    /* The vessel may have been lifted since the figure was typed: closing asks for one of its own. */
    if (isAlone(this.#live.link) && state.phase === 'closing' && before.phase !== 'closing')
      this.settleAnew();
  }
}
