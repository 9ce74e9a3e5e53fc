import type { DecimalText } from '../quantity/decimal.ts';

/**
 * One weight as the balance sent it.
 * `g` is exact grams as plain decimal text that keeps the resolution ("0.100 kg" is "100", "1.00 ct" is "0.200").
 */
export interface Reading {
  readonly kind: 'weight';
  readonly g: DecimalText;
  /** The balance's own figure with its sign joined, in its own unit: "-0.05". */
  readonly figure: DecimalText;
  /** Count of decimals of the figure. */
  readonly digits: number;
  /** Unit as one of core/quantity/units.ts. */
  readonly unit: string;
  /** What the line itself says; null where the shape does not tell. */
  readonly stable: boolean | null;
  /** The last digit was marked as uncertified by the balance. */
  readonly uncertified?: boolean;
  /** Entered by hand, or by a balance that types like a keyboard: one figure at rest, and no stream to judge it by. */
  readonly typed?: true;
  /** Of such a figure: the balance sent it itself, because its print key was pressed. */
  readonly printed?: true;
  /** The line as it came, where there was one. */
  readonly raw?: string;
  /** Time of arrival of the line's last byte, milliseconds on the caller's clock. */
  readonly at: number;
}

/** What the balance, or the way to it, says at one moment. Only `weight` is a mass; `raw` is the line as it came. */
export type Observation =
  | Reading
  /** Beyond the balance's range: over its capacity, or under its zero range. */
  | {
      readonly kind: 'out-of-range';
      readonly way: 'over' | 'under';
      readonly raw?: string;
      readonly at: number;
    }
  /** A whole line that is not a mass: counting, percent, a force, a tael without its variety. */
  | { readonly kind: 'not-a-weight'; readonly what: string; readonly raw?: string; readonly at: number }
  /** The balance reports a fault or refuses a command. */
  | { readonly kind: 'fault'; readonly what: string; readonly raw?: string; readonly at: number }
  /** Nothing to weigh in it: an acknowledgement, a date line, a banner. It never clears the last weight. */
  | { readonly kind: 'noise'; readonly what: string; readonly raw?: string; readonly at: number }
  /** The line fits no shape in use; the raw line is kept. */
  | { readonly kind: 'refused'; readonly raw: string; readonly why: string; readonly at: number };

/** State of the way to the balance. */
export type LinkState =
  | { readonly kind: 'none' }
  | { readonly kind: 'opening'; readonly what: string; readonly advice?: string }
  /**
   * `byKey`: it sends one figure whenever its print key is pressed, and is quiet in between. `advice`: lines are read,
   * yet something is wrong that the person should know.
   */
  | {
      readonly kind: 'live';
      readonly what: string;
      readonly shape: string;
      readonly byKey?: true;
      readonly advice?: string;
    }
  /** Open, but nothing has arrived for two seconds. */
  | { readonly kind: 'silent'; readonly what: string; readonly advice: string }
  /** Gone: unplugged, powered off, refused. `retrying` says that it is taken up again by itself. */
  | { readonly kind: 'lost'; readonly what: string; readonly why: string; readonly retrying: boolean };
