import type { PourEvent } from '../../../core/pour/events.ts';
import type { Store } from '../../../electron/host/store/store.ts';
import type { Trace } from '../../../electron/host/store/trace-pack.ts';
import { captured, facts, settled } from '../record/batch.ts';

const STEP_MS = 50;

/** A batch as it comes about: readings at 20 Hz, and events stored at the moment they are told. */
class Coming {
  readonly #store: Store;
  readonly #batch: string;
  #now: number;
  #from = 0;
  #readings: [number, string][] = [];

  constructor(store: Store, batch: string, at: string) {
    this.#store = store;
    this.#batch = batch;
    this.#now = Date.parse(at);
  }

  get #at(): string {
    return new Date(this.#now).toISOString();
  }

  begin(name: string, events: readonly PourEvent[]): this {
    this.#store.journal.begin({ id: this.#batch, name, at: this.#at }, events);
    return this;
  }

  show(g: string, seconds: number): this {
    for (let n = 0; n < seconds * (1000 / STEP_MS); n += 1) {
      if (this.#readings.length === 0) this.#from = this.#now;
      this.#readings.push([this.#now - this.#from, g]);
      this.#now += STEP_MS;
    }
    return this;
  }

  /** Nothing is read. */
  wait(seconds: number): this {
    this.#now += seconds * 1000;
    return this;
  }

  say(...events: PourEvent[]): this {
    this.#store.journal.append(this.#batch, this.#at, events);
    return this;
  }

  /** The vessel is back at rest at `gross`. */
  returned(gross: string, off: string): this {
    const rest = { ...settled(gross), at: this.#now - STEP_MS, since: this.#now - 500 };
    return this.say({ type: 'vessel-returned', gross, off, settled: rest });
  }

  /** A capture at rest, with what was read since the last. */
  capture(event: Extract<PourEvent, { type: 'captured' }>): this {
    const trace: Trace = { start: new Date(this.#from).toISOString(), readings: this.#readings };
    const rest = { ...event.settled, at: this.#now - STEP_MS, since: this.#now - 500 };
    this.#store.journal.append(this.#batch, this.#at, [{ ...event, settled: rest }], { trace });
    this.#readings = [];
    return this.say({ type: 'confirmed', pour: event.pour });
  }

  end(event: PourEvent, total: string): void {
    this.#store.journal.append(this.#batch, this.#at, [event], { total });
  }
}

type Captured = Extract<PourEvent, { type: 'captured' }>;
const begun = (line: string, lot: string, before: string): PourEvent => ({
  type: 'pour-begun',
  line,
  lot,
  confirmed: 'by eye',
  before,
});

/** A closed batch "uneasy": its first pour is knocked at, lifted, cut off and set to zero, and comes to rest all the same. */
export function addDisturbed(store: Store): void {
  new Coming(store, 'uneasy', '2026-11-26T09:00:00.000Z')
    .begin('Uneasy rose', [
      { type: 'started', ...facts, formula: { ...facts.formula, name: 'Uneasy rose' } },
      { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
      begun('rose', 'R10', '50.00'),
    ])
    .show('50.00', 1)
    .show('50.40', 1)
    .show('58.10', 0.1)
    .say({ type: 'noticed', what: 'knock', detail: 'the reading went to 58.10 g and came back' })
    .show('50.40', 1)
    .show('0.00', 1)
    .say({ type: 'vessel-lifted', last: '50.40' })
    .show('0.00', 1)
    .show('50.41', 1)
    .returned('50.41', '0.01')
    .show('50.41', 0.5)
    .say({ type: 'balance-lost', why: 'its port closed' })
    .wait(5)
    .say({ type: 'balance-back' })
    .show('51.20', 1)
    .say({ type: 're-zeroed', from: '51.20', to: '0.00' })
    .show('0.00', 1)
    .show('0.79', 2)
    .capture(captured(1, 'rose', 'R10', ['-1.20', '0.79'], '1.99') as Captured)
    .say(begun('cedar', 'C50', '0.79'))
    .show('0.79', 0.5)
    .show('4.79', 2)
    .capture(captured(2, 'cedar', 'C50', ['0.79', '4.79'], '4.00') as Captured)
    .say(begun('ethanol', 'E96', '4.79'))
    .show('4.79', 0.5)
    .show('18.79', 2)
    .capture(captured(3, 'ethanol', 'E96', ['4.79', '18.79'], '14.00') as Captured)
    .end({ type: 'closed', gross: '18.79', closure: '0.00', settled: settled('18.79') }, '19.99');
}
