import type { ChoiceKind, CorrectionKind } from '../../core/pour/events.ts';
import type { Phase, Verdict } from '../../core/pour/state.ts';
import type { DecimalText } from '../../core/quantity/decimal.ts';

/** The step that is poured now: target and window are what is to be added to the gross it began at. */
export interface StepLine {
  readonly event: 'step';
  readonly line: string;
  readonly lot: string;
  readonly title: string;
  readonly target_g: DecimalText;
  readonly window_g: readonly [low: DecimalText, high: DecimalText];
  readonly before_g: DecimalText;
  readonly drop_g: DecimalText;
  readonly top_up: boolean;
}

export interface ChoiceLine {
  readonly choice: CorrectionKind;
  /** Factor on the targets as they stand. */
  readonly scale: DecimalText;
  readonly total_g: DecimalText;
  readonly extra_g: DecimalText;
  readonly all_inside: boolean;
  /** Price of what it adds; null where one is not known. */
  readonly cost: DecimalText | null;
  /** Largest deviation of a poured line from its target, as a fraction of it, before and after. */
  readonly worst_before: DecimalText;
  readonly worst_after: DecimalText;
  /** Lines that end at another mass than was planned, by how much. */
  readonly lines: readonly { readonly line: string; readonly extra_g: DecimalText }[];
  /** What stands in its way, in words. */
  readonly limits: readonly string[];
}

/** A way to go on that only sometimes applies. */
export interface FurtherLine extends Omit<ChoiceLine, 'choice'> {
  readonly choice: Exclude<ChoiceKind, CorrectionKind>;
  /** To be taken out of the vessel, or thrown away; null where nothing is. */
  readonly out_g: DecimalText | null;
  /** The line that comes from another bottle, and its lot; null where none does. */
  readonly bottle: { readonly line: string; readonly lot: string } | null;
}

export interface OverpourLine {
  readonly event: 'overpour';
  readonly line: string;
  readonly over_g: DecimalText;
  readonly choices: readonly ChoiceLine[];
  /** What can be done beside them here. */
  readonly further: readonly FurtherLine[];
}

export interface CorrectionLine {
  readonly event: 'correction';
  readonly choice: CorrectionKind;
  readonly scale: DecimalText;
  readonly total_g: DecimalText;
  readonly targets: readonly {
    readonly line: string;
    readonly target_g: DecimalText;
    readonly half_g: DecimalText;
    /** To be added to what is already poured; null when nothing is. */
    readonly top_up_g: DecimalText | null;
  }[];
  /** The line that comes from another bottle from now on. */
  readonly bottle?: { readonly line: string; readonly lot: string };
}

/** Something is to be taken out of the vessel; window_g counts what is out, null where more does no harm. */
export interface WithdrawLine {
  readonly event: 'withdraw';
  readonly from: 'unmixed' | 'stirred';
  readonly target_g: DecimalText;
  readonly window_g: readonly [low: DecimalText, high: DecimalText | null];
  readonly before_g: DecimalText;
}

export interface WithdrawnLine {
  /** `withdrawal-revised`: a better settled value of the last withdrawal. */
  readonly event: 'withdrawn' | 'withdrawal-revised';
  readonly taken_g: DecimalText;
  readonly verdict: Verdict;
  readonly total_g: DecimalText;
  readonly targets: CorrectionLine['targets'];
}

export interface CaptureLine {
  /** `revised`: a better settled value of the last capture. */
  readonly event: 'capture' | 'revised';
  readonly line: string;
  readonly pour: number;
  readonly net_g: DecimalText;
  readonly verdict: Verdict;
}

export interface ClosedLine {
  readonly event: 'closed';
  readonly batch: string;
  readonly total_g: DecimalText;
  /** Mass fraction of neat material, as made and by the formula. */
  readonly strength: DecimalText;
  readonly strength_target: DecimalText;
  readonly closure_g: DecimalText;
  /** Files that were written. */
  readonly record: string;
  readonly csv: string;
}

/** One line of a pour's output. Masses in g as decimal text. */
export type PourLine =
  | { readonly event: 'started'; readonly formula: string; readonly total_g: DecimalText }
  | {
      readonly event: 'taken-up';
      readonly batch: string;
      readonly formula: string;
      readonly phase: Phase;
      readonly gross_g: DecimalText | null;
    }
  | { readonly event: 'vessel'; readonly gross_g: DecimalText }
  | StepLine
  | CaptureLine
  | { readonly event: 'under'; readonly line: string; readonly to_go_g: DecimalText }
  | OverpourLine
  | CorrectionLine
  | WithdrawLine
  | WithdrawnLine
  | { readonly event: 'withdrawal-left' }
  | ClosedLine
  | { readonly event: 'refused'; readonly what: string; readonly next: string }
  | { readonly event: 're-zeroed'; readonly from_g: DecimalText; readonly to_g: DecimalText }
  | { readonly event: 'noticed'; readonly what: string; readonly detail: string }
  | { readonly event: 'balance-lost'; readonly why: string }
  | { readonly event: 'balance-back' }
  | { readonly event: 'voided'; readonly pour: number; readonly reason: string }
  | { readonly event: 'skipped'; readonly line: string; readonly reason: string }
  | { readonly event: 'paused'; readonly why: string }
  | { readonly event: 'resumed' }
  | { readonly event: 'abandoned'; readonly reason: string; readonly followed_by?: string };
