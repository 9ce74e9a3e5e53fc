import type { DecimalText } from '../quantity/decimal.ts';

/** Note of a material in a perfume; solvents have none. */
export type Note = 'top' | 'heart' | 'base';

/** A neat material or a solvent: what a formula speaks of. Its key is its identity in compositions. */
export interface Material {
  readonly key: string;
  readonly name: string;
  readonly note: Note | null;
  readonly family: string;
  readonly kind: 'neat' | 'solvent';
  readonly solid?: boolean;
  readonly otherNames?: readonly string[];
  /** Chemical Abstracts number, check digit verified where it is entered. */
  readonly cas?: string;
  /** How long it keeps once opened, as an ISO 8601 duration such as "P24M". */
  readonly shelfLife?: string;
  /** Density at 20 °C in g/mL, for volume estimates only. */
  readonly density?: DecimalText;
  readonly cautions?: readonly string[];
  /** Supplier's limit in the finished product: mass fraction, with the document and its date. */
  readonly limit?: { readonly fraction: DecimalText; readonly document: string; readonly date: string };
  /** Constituents to declare: name (with CAS) and mass fraction in the neat material, from the supplier's document. */
  readonly constituents?: readonly {
    readonly name: string;
    readonly cas?: string;
    readonly fraction: DecimalText;
  }[];
}

/** One bottle: its composition as mass fractions by material key, summing to one. */
export interface Lot {
  readonly code: string;
  readonly name: string;
  readonly composition: Readonly<Record<string, DecimalText>>;
  /** Standard uncertainty of a mass fraction, by material key; what is not named is taken as exact. */
  readonly uncertainty?: Readonly<Record<string, DecimalText>>;
  /** Mass at hand in g; absent when not known. */
  readonly stock?: DecimalText;
  /** Mass of one drop in g, learnt or estimated. */
  readonly drop?: DecimalText;
  /** Price of one gram, in the workshop's currency. */
  readonly price?: DecimalText;
  /** Best before, ISO 8601 date. */
  readonly bestBefore?: string;
  /** The batch this lot was made by. */
  readonly madeBy?: string;
  /** The supplier's own number of the lot. */
  readonly supplierLot?: string;
  /** When it came in, was opened, and was used up or thrown away: ISO 8601 dates. */
  readonly received?: string;
  readonly opened?: string;
  readonly finished?: string;
  /** The bottle: what it is, such as "30 mL dropper bottle", of which glass, and where it stands. */
  readonly bottle?: string;
  readonly glass?: 'dark' | 'clear';
  /** Mass of the bottle without its content, as it stands on the balance, g. */
  readonly empty?: DecimalText;
  readonly place?: string;
}

/** One line of a formula: so much of a material in the batch, poured from a lot. */
export interface FormulaLine {
  readonly id: string;
  readonly material: string;
  /** Mass fraction of the neat material in the whole batch; absent on the q.s. line. */
  readonly fraction?: DecimalText;
  /** Lot chosen by hand; absent, the plan chooses. */
  readonly lot?: string;
  /** The line that fills to the total. */
  readonly qs?: boolean;
}

export interface Formula {
  readonly id: string;
  readonly name: string;
  /** Total mass of the batch in g, as written. */
  readonly batch: DecimalText;
  /** Half-width of a line's window as a fraction of its target: "0.01" is one per cent. */
  readonly tolerance: DecimalText;
  readonly lines: readonly FormulaLine[];
  /** Which version of the formula this is, from 1; absent where versions are not kept. */
  readonly version?: number;
}

/** What the balance on the bench can do, in grams. */
export interface BalanceLimits {
  /** Readability. */
  readonly d: DecimalText;
  /** Standard deviation of repeated nets; its floor is 0.41 d. */
  readonly s: DecimalText;
  /** Calibration share: relative standard uncertainty common to all nets. */
  readonly c: DecimalText;
  readonly capacity: DecimalText;
}

export type Sureness = 'sure' | 'coarse' | 'blind';

/** One step of a plan: a target mass from one lot. Masses in g. */
export interface Step {
  readonly line: string;
  readonly material: string;
  readonly lot: string;
  readonly title: string;
  readonly note: Note | null;
  readonly family: string;
  readonly kind: 'neat' | 'dilution' | 'solvent';
  readonly solid: boolean;
  readonly qs: boolean;
  readonly target: DecimalText;
  /** Half-window: max(tolerance x target, d). */
  readonly half: DecimalText;
  readonly drop: DecimalText;
  readonly sureness: Sureness;
  /** Window narrower than one drop. */
  readonly dropTooLarge: boolean;
  readonly cautions: readonly string[];
  /** Why the step stands where it stands. */
  readonly reason: string;
  /** Added while pouring, without a target: what is poured of it is what the person wanted. */
  readonly unplanned?: true;
}

export interface PlanWarning {
  readonly line: string | null;
  readonly what: string;
  readonly text: string;
}

export interface Plan {
  readonly total: DecimalText;
  readonly tolerance: DecimalText;
  readonly steps: readonly Step[];
  readonly warnings: readonly PlanWarning[];
}
