import type { BalanceLimits, Formula, Lot, Material, Plan } from '../../core/formula/types.ts';
import type { LastCheck } from '../../core/pour/events.ts';
import type { PourState } from '../../core/pour/state.ts';
import type { LinkState, Reading } from '../../core/weighing/reading.ts';
import type { DropBook } from './drop-book.ts';
import type { Journal } from './store/journal.ts';

/** What the bench sees of the balance at this moment. */
export interface Live {
  readonly link: LinkState;
  readonly reading: Reading | null;
  readonly range: 'inside' | 'over' | 'under';
  /** What the balance says instead of a weight, or what is wrong with its lines. */
  readonly message: string | null;
  readonly at: number;
}

export interface Batch {
  readonly id: string;
  readonly name: string;
  readonly state: PourState;
}

/** What a batch is started from. */
export interface StartOrder {
  readonly formula: Formula;
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  /** The plan a person has seen, and the limits it was made with; absent, it is planned here. */
  readonly planned?: { readonly plan: Plan; readonly limits: BalanceLimits };
  readonly operator: string;
  /** The balance as the record names it, with how it stood when last checked. */
  readonly balance: { readonly name: string; readonly serial?: string; readonly check?: LastCheck };
  /** Whether cautions must be heeded before their bottle; shown only where absent. */
  readonly cautions?: 'shown' | 'required';
}

/** Clock and identities come from outside, so that a test can give its own. */
export interface BenchMeans {
  readonly journal: Journal;
  /** What is known of drops; nothing where it is absent. */
  readonly drops?: DropBook;
  /** Milliseconds since 1970. */
  now(): number;
  newId(): string;
}
