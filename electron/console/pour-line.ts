import type { CorrectionKind } from '../../core/pour/events.ts';
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
  /** What stands in its way, in words. */
  readonly limits: readonly string[];
}

export interface OverpourLine {
  readonly event: 'overpour';
  readonly line: string;
  readonly over_g: DecimalText;
  readonly choices: readonly ChoiceLine[];
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
  | { readonly event: 'abandoned'; readonly reason: string };
