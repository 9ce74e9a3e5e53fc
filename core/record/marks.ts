import type { PourEvent, StoredEvent } from '../pour/events.ts';
import { countable, countFrom, countReading, type DropCount } from '../weighing/drops.ts';

/**
 * What a mark on a trace is. `drop` and `stream` are told from the readings, the others from the events.
 * `stream`: a rise without a pause of more drops than a hand counts.
 */
export type MarkKind =
  | 'begun'
  | 'drop'
  | 'stream'
  | 'capture'
  | 'revision'
  | 'void'
  | 'withdrawal'
  | 'lift'
  | 'return'
  | 'knock'
  | 'zero'
  | 'overload'
  | 'lost'
  | 'back';

/** One mark on a trace: when, ms since 1970; `g` the gross it stands at, null where the balance told none. */
export interface TraceMark {
  readonly at: number;
  readonly kind: MarkKind;
  readonly text: string;
  readonly g: string | null;
}

/** One reading of a trace: ms since 1970, and gross in g. */
export interface TraceReading {
  readonly at: number;
  readonly g: string;
}

/** A rise of more drops than this between two pauses is a stream. */
const COUNTED = 4;

const NOTICED: Readonly<Record<string, MarkKind>> = { knock: 'knock', overload: 'overload' };

/** What an event marks; null where it marks nothing on a trace. */
function markOf({ event, at: stamp }: StoredEvent): TraceMark | null {
  const mark = (kind: MarkKind, text: string, g: string | null, at = Date.parse(stamp)): TraceMark => ({
    at,
    kind,
    text,
    g,
  });
  switch (event.type) {
    case 'pour-begun':
      return mark('begun', `Lot ${event.lot} in hand`, event.before);
    case 'captured':
      return mark('capture', `${event.net} g captured, ${event.verdict}`, event.after, event.settled.at);
    case 'revised':
      return mark('revision', `Revised to ${event.net} g, ${event.verdict}`, event.after, event.settled.at);
    case 'withdrawn':
    case 'withdrawal-revised':
      return mark('withdrawal', `${event.taken} g taken out`, event.after, event.settled.at);
    case 'voided':
      return mark('void', `Voided: ${event.reason}`, event.gross);
    case 'vessel-lifted':
      return mark('lift', 'Vessel lifted', event.last);
    case 'vessel-returned':
      return mark('return', `Vessel back, ${event.off} g off`, event.gross, event.settled.at);
    case 're-zeroed':
      return mark('zero', `Display set from ${event.from} g to ${event.to} g`, event.to);
    case 'balance-lost':
      return mark('lost', `Balance lost: ${event.why}`, null);
    case 'balance-back':
      return mark('back', 'Balance back', null);
    case 'noticed': {
      const kind = NOTICED[event.what];
      return kind === undefined ? null : mark(kind, event.detail, null);
    }
    default:
      return null;
  }
}

/** A step that was counted, and the level it rose from, display steps. */
interface Counted {
  readonly mark: TraceMark;
  readonly from: number;
}

/** Drops of one pour, told from its readings. Levels and `drop` in display steps. */
class Pouring {
  readonly #drop: number;
  readonly #d: number;
  #count: DropCount;
  /** Below this is no vessel, or a hand in the way: not a drop less. */
  #floor: number;
  #counted: Counted[] = [];
  /** First reading of the present run of equal ones. */
  #run: TraceReading | null = null;

  constructor(before: number, drop: number, d: number) {
    this.#drop = drop / d;
    this.#d = d;
    this.#count = countFrom(before / d);
    this.#floor = before / d - this.#drop;
  }

  get marks(): readonly TraceMark[] {
    return this.#counted.map((one) => one.mark);
  }

  /** The load reads otherwise from now on, g: another zero, or a vessel put back. */
  rebase(g: number): void {
    const by = g / this.#d - this.#count.base;
    this.#floor += by;
    this.#count = countFrom(g / this.#d);
    this.#counted = this.#counted.map((one) => ({ ...one, from: one.from + by }));
    this.#run = null;
  }

  read(reading: TraceReading): void {
    const counts = Number(reading.g) / this.#d;
    if (this.#run?.g !== reading.g) this.#run = reading;
    if (counts < this.#floor) {
      this.#count = { ...this.#count, last: [] };
      return;
    }
    const before = this.#count;
    this.#count = countReading(before, counts, this.#drop);
    const steps = this.#count.count - before.count;
    if (steps > 0) this.#rose(steps, before.base, counts);
    else if (steps < 0) this.#counted = this.#counted.filter((one) => one.from < counts - this.#drop / 2);
  }

  #rose(steps: number, from: number, to: number): void {
    const run = this.#run;
    if (run === null) return;
    const decimals = run.g.split('.')[1]?.length ?? 0;
    const by = `+${((to - from) * this.#d).toFixed(decimals)} g`;
    const text =
      steps > COUNTED ? `${by} without a pause` : `${steps === 1 ? '1 drop' : `${steps} drops`}, ${by}`;
    const mark: TraceMark = { at: run.at, kind: steps > COUNTED ? 'stream' : 'drop', text, g: run.g };
    this.#counted.push({ mark, from });
  }
}

/** Mass of a drop of each line as the batch goes on, g. */
function dropsAfter(drops: Map<string, number>, event: PourEvent): void {
  if (event.type === 'started') for (const { line, drop } of event.plan.steps) drops.set(line, Number(drop));
  else if (event.type === 'line-added') drops.set(event.step.line, Number(event.step.drop));
  else if (event.type === 'correction-chosen' && event.bottle !== undefined)
    drops.set(event.bottle.line, Number(event.bottle.drop));
}

/** Goes through events and readings in the order of time, and counts drops where a pour is in hand. */
class Walk {
  readonly #d: number;
  readonly #drops = new Map<string, number>();
  readonly #done: TraceMark[] = [];
  #pouring: Pouring | null = null;
  #off = false;

  constructor(d: number) {
    this.#d = d;
  }

  get marks(): readonly TraceMark[] {
    return [...this.#done, ...(this.#pouring?.marks ?? [])];
  }

  #end(): void {
    this.#done.push(...(this.#pouring?.marks ?? []));
    this.#pouring = null;
  }

  event(event: PourEvent): void {
    dropsAfter(this.#drops, event);
    switch (event.type) {
      case 'pour-begun': {
        this.#end();
        const mean = this.#drops.get(event.line) ?? 0;
        if (!countable({ mean, u: 0 }, this.#d)) return;
        this.#off = false;
        this.#pouring = new Pouring(Number(event.before), mean, this.#d);
        return;
      }
      case 'vessel-lifted':
        this.#off = true;
        return;
      case 'vessel-returned':
        this.#off = false;
        this.#pouring?.rebase(Number(event.gross));
        return;
      case 're-zeroed':
      case 're-read':
        this.#pouring?.rebase(Number(event.to));
        return;
      case 'withdrawal-begun':
      case 'voided':
      case 'closing-weighed':
      case 'closed':
        this.#end();
    }
  }

  reading(reading: TraceReading): void {
    if (!this.#off) this.#pouring?.read(reading);
  }
}

/**
 * Marks on the trace of a batch, in the order of time: each pour begun, drops and streams as the readings tell them,
 * captures, revisions and voids, lifts, knocks, zeroings and lost links.
 *
 * Drops are told by core/weighing/drops.ts: a step counts once the reading pauses on it, and a step that falls back is
 * no mark. None is told of a drop below two display steps. They are an aid to reading a trace, never a figure.
 * @param readings of the batch, each once, ms since 1970 and gross in g; in any order
 * @param d display step of the balance, g
 * @param events of the batch as stored, oldest first
 */
export function marksOf(
  readings: readonly TraceReading[],
  d: number,
  events: readonly StoredEvent[],
): TraceMark[] {
  const walk = new Walk(d);
  const ordered = readings.toSorted((a, b) => a.at - b.at);
  let next = 0;
  for (const { event, at } of events) {
    const now = Date.parse(at);
    for (let one = ordered[next]; one !== undefined && one.at < now; one = ordered[next]) {
      walk.reading(one);
      next += 1;
    }
    walk.event(event);
  }
  for (const one of ordered.slice(next)) walk.reading(one);
  const told = events.flatMap((event) => markOf(event) ?? []);
  return [...told, ...walk.marks].sort((a, b) => a.at - b.at);
}
