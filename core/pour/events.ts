import type { BalanceLimits, Formula, Lot, Material, Plan, Step } from '../formula/types.ts';
import type { DecimalText } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';

export type CorrectionKind = 'exact' | 'least' | 'keep';

/** Every way to go on from a line past its window. */
export type ChoiceKind =
  | CorrectionKind
  /** Take the excess out of a vessel that holds its first line alone. */
  | 'withdraw-unmixed'
  /** Stir, and take a part of everything out, so that every line comes into its window, or to its target. */
  | 'withdraw-least'
  | 'withdraw-exact'
  /** The least or the exact correction, with one line from another bottle. */
  | 'bottle-least'
  | 'bottle-exact'
  /** Throw this batch away and begin it anew. */
  | 'again';

/** The bottle that a line is poured from instead of the one before. */
export interface NewBottle {
  readonly line: string;
  readonly lot: string;
  readonly title: string;
  readonly kind: 'neat' | 'dilution' | 'solvent';
  /** Mass of its drop, g. */
  readonly drop: DecimalText;
  readonly cautions: readonly string[];
}

/** What a withdrawal leaves to do. Masses in g. */
interface AfterWithdrawal {
  /** Gross once it is out, and how much that took out. */
  readonly after: DecimalText;
  readonly taken: DecimalText;
  /** `over`: a line is still past its window; `under`: the one line in the vessel is open again. */
  readonly verdict: 'inside' | 'over' | 'under';
  /** Factor on the targets: above 1 where a line could not be topped up at the scale as it was. */
  readonly scale: DecimalText;
  /** Empty where no target and no top-up follows. */
  readonly targets: readonly NewTarget[];
  readonly total: DecimalText;
  readonly settled: Settled;
}

/** A new target for one line after a correction. Masses in g. */
export interface NewTarget {
  readonly line: string;
  readonly target: DecimalText;
  readonly half: DecimalText;
  /** What is still to be poured onto a line already poured: the interval and the aim; null when nothing is. */
  readonly topUp: { readonly low: DecimalText; readonly aim: DecimalText; readonly high: DecimalText } | null;
}

/** How the balance stood when it was last checked, as told at the start of the batch. */
export interface LastCheck {
  /** RFC 3339; null where it was never checked. */
  readonly at: string | null;
  readonly verdict: 'pass' | 'doubtful' | 'fail' | 'none';
  readonly overdue: boolean;
  /** One sentence with the figures. */
  readonly text: string;
}

/** The balance a batch was begun on. */
export interface BalanceFacts {
  readonly name: string;
  readonly link: string;
  readonly limits: BalanceLimits;
  readonly serial?: string;
  readonly check?: LastCheck;
}

/** Who made the record and with what. */
export interface StartFacts {
  readonly operator: string;
  readonly balance: BalanceFacts;
  readonly formula: Formula;
  readonly plan: Plan;
  readonly materials: readonly Material[];
  readonly lots: readonly Lot[];
  /** Other lots at hand that hold a wanted material; absent when there are none. */
  readonly shelf?: readonly Lot[];
  /** The batch that this one begins anew. */
  readonly follows?: string;
  /** Whether a caution must be heeded before its bottle; shown only where absent. */
  readonly cautions?: 'shown' | 'required';
}

/** What happened in a batch, in order. Only ever added to. */
export type PourEvent =
  | ({ readonly type: 'started' } & StartFacts)
  | { readonly type: 'vessel-weighed'; readonly gross: DecimalText; readonly settled: Settled }
  | {
      readonly type: 'pour-begun';
      readonly line: string;
      readonly lot: string;
      readonly confirmed: 'by eye' | 'by scan' | 'by script' | 'from a sheet';
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
      /** The line that is poured from another bottle from now on. */
      readonly bottle?: NewBottle;
    }
  | {
      readonly type: 'withdrawal-begun';
      readonly from: 'unmixed' | 'stirred';
      /** What a stirred withdrawal is to bring about. */
      readonly kind: 'exact' | 'least';
      /** How much to take out, g: anywhere from low to high; `high` is null where more does no harm. */
      readonly low: DecimalText;
      readonly aim: DecimalText;
      readonly high: DecimalText | null;
      /** Gross before anything is taken out. */
      readonly before: DecimalText;
    }
  /** Nothing was taken out: the choice is open again. */
  | { readonly type: 'withdrawal-left' }
  | ({
      readonly type: 'withdrawn';
      readonly from: 'unmixed' | 'stirred';
      readonly before: DecimalText;
    } & AfterWithdrawal)
  /** A better settled value, or more taken out, before the next pour began. */
  | ({ readonly type: 'withdrawal-revised' } & AfterWithdrawal)
  | { readonly type: 'voided'; readonly pour: number; readonly reason: string; readonly gross: DecimalText }
  | { readonly type: 'skipped'; readonly line: string; readonly reason: string }
  /** The display was tared or zeroed by hand: later readings, and the pour in hand, are counted from `to`. */
  | { readonly type: 're-zeroed'; readonly from: DecimalText; readonly to: DecimalText }
  /** The vessel left the pan; `last` is the gross that was read before. */
  | { readonly type: 'vessel-lifted'; readonly last: DecimalText }
  /** It is back, at rest at `gross`: `off` g from what was read before it left. */
  | {
      readonly type: 'vessel-returned';
      readonly gross: DecimalText;
      readonly off: DecimalText;
      readonly settled: Settled;
    }
  /** The person says that nothing was poured meanwhile: the gross is `to` from now on. The closure shows it. */
  | { readonly type: 're-read'; readonly from: DecimalText; readonly to: DecimalText; readonly why: string }
  /** A line that the plan does not have: it has no target. `lot` and `materials` are what it is poured from. */
  | {
      readonly type: 'line-added';
      readonly step: Step;
      readonly lot: Lot;
      readonly materials: readonly Material[];
      readonly why: string;
    }
  | { readonly type: 'caution-heeded'; readonly caution: string; readonly line: string | null }
  /** A rest of so many minutes. */
  | { readonly type: 'break-taken'; readonly minutes: number }
  /** The gross before the vessel is lifted for the closing check; `limit` is what the closure may be, g. */
  | {
      readonly type: 'closing-weighed';
      readonly gross: DecimalText;
      readonly closure: DecimalText;
      readonly limit: DecimalText;
      readonly passes: boolean;
      readonly settled: Settled;
    }
  /** The empty pan once the vessel was lifted, against what it was at the start, g. */
  | {
      readonly type: 'pan-checked';
      readonly pan: DecimalText;
      readonly expected: DecimalText;
      readonly limit: DecimalText;
      readonly passes: boolean;
      readonly settled: Settled;
    }
  /** `gross` is what was last read at rest before, where it is known. */
  | { readonly type: 'paused'; readonly why: string; readonly gross?: DecimalText }
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
  | {
      readonly type: 'abandoned';
      readonly reason: string;
      /** The batch that begins this one anew, and the mass thrown away, g. */
      readonly followedBy?: string;
      readonly discarded?: DecimalText;
    }
  /** A note or a correction to a batch that has ended: what was written before it stays as it was. */
  | { readonly type: 'amended'; readonly who: string; readonly why: string; readonly text: string };

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
