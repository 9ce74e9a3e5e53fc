import { Decimal, type DecimalText, decimal, fixed } from '../quantity/decimal.ts';
import type { RecordFile } from './record.ts';

/** Two figures of two batches side by side; null where a batch has none. */
export interface Pair {
  readonly a: DecimalText | null;
  readonly b: DecimalText | null;
  /** b less a; null where one is missing. */
  readonly difference: DecimalText | null;
}

/** The same, with whether the difference is more than both uncertainties explain. */
export interface SurePair extends Pair {
  /** |b - a| against the root of the sum of the squared expanded uncertainties (k = 2); null where one is missing. */
  readonly apart: boolean | null;
}

export interface Comparison {
  /** Whether both were made by one formula. */
  readonly sameFormula: boolean;
  /** g. */
  readonly total: SurePair;
  /** Mass fractions. */
  readonly strength: SurePair;
  readonly composition: readonly ({
    readonly material: string;
    readonly name: string;
    readonly kind: 'neat' | 'solvent';
  } & SurePair)[];
  /** Poured masses of the lines, g, matched by line where both have it. */
  readonly lines: readonly ({ readonly line: string; readonly title: string } & SurePair)[];
  /** Lots that both were poured from, and those of one alone. */
  readonly lots: { readonly both: string[]; readonly onlyA: string[]; readonly onlyB: string[] };
}

interface Figure {
  readonly value: DecimalText;
  readonly U: DecimalText;
}

const DECIMALS = 12;

function pair(a: Figure | undefined, b: Figure | undefined): SurePair {
  if (a === undefined || b === undefined)
    return { a: a?.value ?? null, b: b?.value ?? null, difference: null, apart: null };
  const difference = decimal(b.value).minus(decimal(a.value));
  const limit = Decimal.hypot(decimal(a.U), decimal(b.U));
  return {
    a: a.value,
    b: b.value,
    difference: fixed(difference, Math.min(DECIMALS, difference.decimalPlaces())),
    apart: difference.abs().gt(limit),
  };
}

/** Keys of both, those of `a` first. */
const keysOf = (a: ReadonlyMap<string, unknown>, b: ReadonlyMap<string, unknown>): string[] => [
  ...new Set([...a.keys(), ...b.keys()]),
];

/**
 * Two batches side by side. A difference counts as apart when it is larger than the two expanded uncertainties taken
 * together as independent (JCGM 100, 5.1.2); what both share, such as one balance or one bottle, makes that cautious.
 */
export function compare(a: RecordFile, b: RecordFile): Comparison {
  const parts = (file: RecordFile) => new Map(file.asMade.composition.map((one) => [one.material, one]));
  const lines = (file: RecordFile) => new Map(file.asMade.lines.map((one) => [one.line, one]));
  const [partsA, partsB, linesA, linesB] = [parts(a), parts(b), lines(a), lines(b)];
  const fraction = (one: RecordFile['asMade']['composition'][number] | undefined): Figure | undefined =>
    one && { value: one.fraction, U: one.fractionU };
  const poured = (one: RecordFile['asMade']['lines'][number] | undefined): Figure | undefined =>
    one && { value: one.poured, U: one.pouredU };
  const lotsA = a.asMade.lots.map((one) => one.lot);
  const lotsB = b.asMade.lots.map((one) => one.lot);
  return {
    sameFormula: a.batch.formula === b.batch.formula,
    total: pair({ value: a.asMade.total, U: a.asMade.totalU }, { value: b.asMade.total, U: b.asMade.totalU }),
    strength: pair(
      { value: a.asMade.strength, U: a.asMade.strengthU },
      { value: b.asMade.strength, U: b.asMade.strengthU },
    ),
    composition: keysOf(partsA, partsB).flatMap((material) => {
      const one = partsA.get(material) ?? partsB.get(material);
      if (one === undefined) return [];
      const { name, kind } = one;
      return [
        { material, name, kind, ...pair(fraction(partsA.get(material)), fraction(partsB.get(material))) },
      ];
    }),
    lines: keysOf(linesA, linesB).map((line) => ({
      line,
      title: linesA.get(line)?.title ?? linesB.get(line)?.title ?? line,
      ...pair(poured(linesA.get(line)), poured(linesB.get(line))),
    })),
    lots: {
      both: lotsA.filter((lot) => lotsB.includes(lot)),
      onlyA: lotsA.filter((lot) => !lotsB.includes(lot)),
      onlyB: lotsB.filter((lot) => !lotsA.includes(lot)),
    },
  };
}
