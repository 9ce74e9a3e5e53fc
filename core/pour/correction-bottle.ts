import { Decimal } from '../quantity/decimal.ts';
import {
  type CorrectedLine,
  type Correction,
  type CorrectionLine,
  type CorrectionRules,
  corrections,
} from './correction.ts';
import { limitsOf } from './correction-limits.ts';

/** Another bottle on the shelf that could serve a line. */
export interface OtherBottle {
  readonly line: string;
  readonly lot: string;
  readonly title: string;
  /** Its strength in the line's material over that of the lot that was planned: above 1 is stronger, below 1 weaker. */
  readonly ratio: Decimal;
  readonly drop: Decimal;
  /** Mass in it; null when not known. */
  readonly stock: Decimal | null;
  readonly price: Decimal | null;
  /** Whether what dilutes it, and the planned lot, is what the q.s. line fills with. */
  readonly sameSolvent: boolean;
}

/** A correction with one line, or its top-up, from another bottle. */
export interface BottleOffer {
  readonly bottle: OtherBottle;
  /** Targets and top-ups of that line in g of the other bottle; the q.s. line takes up the solvent it brings or saves. */
  readonly correction: Correction;
  /** Mass by which the batch grows less than with the planned bottles, g. */
  readonly saves: Decimal;
}

const one = new Decimal(1);
const zero = new Decimal(0);
const TELLING = new Decimal('1e-12');

interface Turned {
  readonly lines: CorrectionLine[];
  /** Brings the corrected lines back into g of the bottle each is poured from. */
  readonly back: (choice: Correction) => Correction | null;
}

/** A line not poured yet: its target becomes target/ratio, and the q.s. line fills what that leaves of the total. */
function turnedWhole(
  lines: readonly CorrectionLine[],
  line: CorrectionLine,
  bottle: OtherBottle,
  rules: CorrectionRules,
): Turned | null {
  const qs = lines.find((other) => other.qs);
  if (qs === undefined || qs === line) return null;
  const target = line.target.div(bottle.ratio).toDecimalPlaces(20);
  const filled = qs.target.plus(line.target).minus(target);
  if (filled.isNegative()) return null;
  const half = (mass: Decimal): Decimal => Decimal.max(mass.times(rules.tolerance), rules.d);
  const { drop, stock, price, title, lot } = bottle;
  return {
    lines: lines.map((other) => {
      if (other === line) return { ...line, target, half: half(target), drop, stock, price, title, lot };
      return other === qs ? { ...qs, target: filled, half: half(filled) } : other;
    }),
    back: (choice) => choice,
  };
}

/** The q.s. line less the solvent that a top-up brings beyond what the planned bottle would have brought. */
function lessSolvent(line: CorrectedLine, more: Decimal, rules: CorrectionRules): CorrectedLine | null {
  const target = line.target.minus(more);
  if (target.isNegative()) return null;
  const half = Decimal.max(target.times(rules.tolerance), rules.d).toDecimalPlaces(24);
  return { ...line, target, half, extra: line.extra.minus(more) };
}

/** The corrected line with its top-up in g of the other bottle: what is in counts whole, what comes counts 1/ratio. */
function inOther(line: CorrectedLine, ratio: Decimal): CorrectedLine {
  const turn = (mass: Decimal): Decimal => mass.div(ratio).toDecimalPlaces(20);
  const { topUp, poured } = line;
  if (topUp === null) return line;
  const other = { low: turn(topUp.low), aim: turn(topUp.aim), high: turn(topUp.high) };
  return {
    ...line,
    target: poured.plus(turn(line.target.minus(poured))),
    half: turn(line.half),
    topUp: other,
    extra: line.extra.plus(other.aim).minus(topUp.aim),
  };
}

/** A line already poured: only its top-up comes from the other bottle, so one drop there is a drop times the ratio. */
function turnedTopUp(
  lines: readonly CorrectionLine[],
  line: CorrectionLine,
  bottle: OtherBottle,
  rules: CorrectionRules,
): Turned | null {
  const qs = lines.find((other) => other.qs);
  if (qs === undefined || qs === line || qs.poured.gt(0) || qs.accepted) return null;
  const least = Decimal.max(bottle.drop, rules.d).times(bottle.ratio);
  return {
    lines: lines.map((other) => (other === line ? { ...line, least } : other)),
    back: (choice) => {
      const topUp = choice.lines.find((one) => one.id === line.id)?.topUp ?? null;
      if (topUp === null) return null;
      const mass = topUp.aim.div(bottle.ratio).toDecimalPlaces(20);
      const more = mass.minus(topUp.aim);
      const after = choice.lines.map((one) => {
        if (one.id === line.id) return inOther(one, bottle.ratio);
        return one.id === qs.id ? lessSolvent(one, more, rules) : one;
      });
      if (after.includes(null)) return null;
      const corrected = after.filter((one) => one !== null);
      return {
        ...choice,
        lines: corrected,
        limits: limitsWith(lines, corrected, choice, { line, bottle, mass }, rules),
        cost: costWith(choice, line, qs, bottle, mass, more),
      };
    },
  };
}

/** Limits where a top-up comes from another bottle: the planned one gives what it gave, the other gives the top-up. */
function limitsWith(
  lines: readonly CorrectionLine[],
  corrected: readonly CorrectedLine[],
  choice: Correction,
  {
    line,
    bottle,
    mass,
  }: { readonly line: CorrectionLine; readonly bottle: OtherBottle; readonly mass: Decimal },
  rules: CorrectionRules,
): Correction['limits'] {
  const { lot, stock, title } = bottle;
  const poured = lines.reduce((sum, other) => sum.plus(other.poured), zero);
  const finals = lines.map((other, i) =>
    other === line ? line.poured : other.target.plus(corrected[i]?.extra ?? zero),
  );
  const given = { ...line, lot, stock, title, poured: zero };
  return limitsOf([...lines, given], [...finals, mass], choice.total.minus(poured), rules);
}

function costWith(
  choice: Correction,
  line: CorrectionLine,
  qs: CorrectionLine,
  bottle: OtherBottle,
  mass: Decimal,
  more: Decimal,
): Decimal | null {
  const planned = line.price?.times(mass.minus(more)) ?? null;
  const saved = qs.price?.times(more) ?? null;
  if (choice.cost === null || bottle.price === null || planned === null || saved === null) return null;
  return choice.cost.minus(planned).plus(bottle.price.times(mass)).minus(saved);
}

function turned(
  lines: readonly CorrectionLine[],
  bottle: OtherBottle,
  rules: CorrectionRules,
): Turned | null {
  const line = lines.find((other) => other.id === bottle.line);
  if (line === undefined || line.accepted || line.qs || !bottle.sameSolvent || !bottle.ratio.gt(0))
    return null;
  return line.poured.gt(0)
    ? turnedTopUp(lines, line, bottle, rules)
    : turnedWhole(lines, line, bottle, rules);
}

/**
 * Bottles that make a correction smaller, or lift a limit of it, the smallest batch first. A weaker one does so where
 * the planned bottle's drop is too large to top a line up; a stronger one where it brings less of a solvent that is
 * already in too plentifully, or where the planned bottle does not hold enough. Masses in g.
 */
export function otherBottles(
  lines: readonly CorrectionLine[],
  rules: CorrectionRules,
  bottles: readonly OtherBottle[],
  kind: 'exact' | 'least',
): BottleOffer[] {
  const planned = corrections(lines, rules)[kind];
  return bottles
    .flatMap((bottle): BottleOffer[] => {
      const other = turned(lines, bottle, rules);
      if (other === null) return [];
      const correction = other.back(corrections(other.lines, rules)[kind]);
      if (correction === null) return [];
      const saves = planned.total.minus(correction.total);
      const smaller = planned.scale.minus(correction.scale).gt(TELLING);
      const lifts = correction.limits.length < planned.limits.length && saves.gte(zero.minus(TELLING));
      return smaller || lifts ? [{ bottle, correction, saves }] : [];
    })
    .sort(
      (a, b) =>
        b.saves.comparedTo(a.saves) ||
        b.bottle.ratio.minus(one).abs().comparedTo(a.bottle.ratio.minus(one).abs()),
    );
}
