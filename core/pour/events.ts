import type { BalanceLimits, Formula, Lot, Material, Plan } from '../formula/types.ts';
import type { DecimalText } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';

export type CorrectionKind = 'exact' | 'least' | 'keep';

/** A new target for one line after a correction. Masses in g. */
export interface NewTarget {
  readonly line: string;
  readonly target: DecimalText;
  readonly half: DecimalText;
  /** What is still to be poured onto a line already poured: the interval and the aim; null when nothing is. */
  readonly topUp: { readonly low: DecimalText; readonly aim: DecimalText; readonly high: DecimalText } | null;
}

/** Who made the record and with what. */
export interface StartFacts {
  readonly operator: string;
  readonly balance: { readonly name: string; readonly link: string; readonly limits: BalanceLimits };
  readonly formula: Formula;
  readonly plan: Plan;
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
}

/** What happened in a batch, in order. Only ever added to. */
export type PourEvent =
  | ({ readonly type: 'started' } & StartFacts)
  | { readonly type: 'vessel-weighed'; readonly gross: DecimalText; readonly settled: Settled }
  | {
      readonly type: 'pour-begun';
      readonly line: string;
      readonly lot: string;
      readonly confirmed: 'by eye' | 'by scan' | 'by script';
      readonly before: DecimalText;
    }
  | {
      readonly type: 'captured';
      readonly pour: number;
      readonly line: string;
      readonly lot: string;
      readonly before: DecimalText;
      readonly after: DecimalText;
      readonly net: DecimalText;
      readonly verdict: 'inside' | 'over' | 'under';
      readonly settled: Settled;
    }
  /** A better settled value before the next pour began. */
  | {
      readonly type: 'revised';
      readonly pour: number;
      readonly after: DecimalText;
      readonly net: DecimalText;
      readonly verdict: 'inside' | 'over' | 'under';
      readonly settled: Settled;
    }
  | { readonly type: 'confirmed'; readonly pour: number }
  | {
      readonly type: 'correction-chosen';
      readonly choice: CorrectionKind;
      /** Factor on the targets as they stood before this correction. */
      readonly scale: DecimalText;
      readonly targets: readonly NewTarget[];
      readonly total: DecimalText;
    }
  | { readonly type: 'voided'; readonly pour: number; readonly reason: string; readonly gross: DecimalText }
  | { readonly type: 'skipped'; readonly line: string; readonly reason: string }
  /** The display was tared or zeroed by hand between two pours: later readings are counted from `to`. */
  | { readonly type: 're-zeroed'; readonly from: DecimalText; readonly to: DecimalText }
  | { readonly type: 'paused'; readonly why: string }
  | { readonly type: 'resumed' }
  | { readonly type: 'balance-lost'; readonly why: string }
  | { readonly type: 'balance-back' }
  | { readonly type: 'noticed'; readonly what: string; readonly detail: string }
  | {
      readonly type: 'closed';
      readonly gross: DecimalText;
      readonly closure: DecimalText;
      readonly settled: Settled;
    }
  | { readonly type: 'abandoned'; readonly reason: string };

export type PourEventType = PourEvent['type'];

/** An event as stored: numbered from 1 within its batch, stamped, chained by hash. */
export interface StoredEvent {
  readonly batch: string;
  readonly n: number;
  /** RFC 3339, UTC, with milliseconds. */
  readonly at: string;
  readonly event: PourEvent;
  readonly prev: string;
  readonly hash: string;
}
