import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import { toGrams } from '../quantity/units.ts';
import { FormulaTrouble, type Problem, trouble } from './trouble.ts';
import type { FormulaLine } from './types.ts';

/** A line as it stands in a notebook: an amount of a material, neat or as a dilution of a named strength. */
export interface StatedLine {
  readonly id: string;
  readonly material: string;
  /** Absent on the q.s. line. */
  readonly amount?: DecimalText;
  /** A unit of mass, or `part`; all lines of one formula in masses, or all in parts. */
  readonly unit?: string;
  /** Strength of the dilution meant and its solvent; absent, the material is meant neat. */
  readonly dilution?: { readonly strength: DecimalText; readonly solvent: string };
  readonly lot?: string;
  readonly qs?: boolean;
}

export interface Converted {
  readonly lines: FormulaLine[];
  /** Total of the batch in g where the lines were masses; null for parts. */
  readonly batch: DecimalText | null;
  /** What was done, and why grams; to be shown beside the formula. */
  readonly words: readonly string[];
}

/** Why the program reckons in grams (common practice, no source). */
export const WHY_GRAMS =
  'Everything is weighed: a gram is a gram at any temperature and from any pipette, where a drop of oil may weigh twice a drop of ethanol and a part says nothing of how much is made.';

const DECIMALS = 15;
const ZERO = new Decimal(0);

/** Units that are no mass, and why. */
const NO_MASS: Readonly<Record<string, string>> = {
  drop: 'a drop has no fixed mass: it differs with the liquid, the pipette and the hand',
  drops: 'a drop has no fixed mass: it differs with the liquid, the pipette and the hand',
  ml: 'a volume has no fixed mass: it differs with the liquid and its temperature',
  l: 'a volume has no fixed mass: it differs with the liquid and its temperature',
};

const isPart = (unit: string | undefined): boolean => unit === 'part' || unit === 'parts';

function massOf(line: StatedLine): Decimal | Problem {
  const field = `line ${line.id}`;
  const amount = decimal(line.amount ?? '0');
  if (!amount.gt(0))
    return {
      field,
      what: `the amount ${line.amount ?? ''} is not above 0`,
      next: 'Write how much goes in.',
    };
  if (isPart(line.unit)) return amount;
  const unit = line.unit ?? 'g';
  const why = Object.hasOwn(NO_MASS, unit.toLowerCase()) ? NO_MASS[unit.toLowerCase()] : undefined;
  if (why !== undefined)
    return { field, what: `"${unit}" cannot be converted: ${why}`, next: 'Weigh it once and write grams.' };
  try {
    return toGrams(plain(amount), unit);
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    return { field, what: cause.message, next: 'Write grams.' };
  }
}

function checkStrength(line: StatedLine): Problem[] {
  if (line.dilution === undefined) return [];
  const strength = decimal(line.dilution.strength);
  if (strength.gt(0) && strength.lte(1)) return [];
  return [
    {
      field: `line ${line.id}`,
      what: `a strength of ${line.dilution.strength} is not above 0 and at most 1`,
      next: 'Write the mass fraction of neat material; "0.1" is 10 %.',
    },
  ];
}

function checkLines(lines: readonly StatedLine[]): Problem[] {
  const problems = lines.flatMap(checkStrength);
  const stated = lines.filter((line) => line.qs !== true);
  if (stated.length === 0)
    problems.push({ field: 'lines', what: 'no line states an amount', next: 'Add one.' });
  const parts = stated.filter((line) => isPart(line.unit)).length;
  if (parts > 0 && parts < stated.length)
    problems.push({
      field: 'lines',
      what: 'some lines are in parts and some in masses',
      next: 'Write all of them in grams, or all in parts.',
    });
  if (lines.filter((line) => line.qs === true).length > 1)
    problems.push({ field: 'lines', what: 'two lines fill to the total', next: 'Only one line may be q.s.' });
  return problems;
}

/** The solvent that fills to the total where no line says so: the one that the dilutions bring most of. */
function fillOf(stated: readonly { line: StatedLine; mass: Decimal }[]): string | null {
  const carried = new Map<string, Decimal>();
  for (const { line, mass } of stated) {
    if (line.dilution === undefined) continue;
    const solvent = mass.times(new Decimal(1).minus(line.dilution.strength));
    if (solvent.gt(0))
      carried.set(line.dilution.solvent, (carried.get(line.dilution.solvent) ?? ZERO).plus(solvent));
  }
  const most = [...carried].sort(([, a], [, b]) => b.cmp(a))[0];
  return most === undefined ? null : most[0];
}

function convert({ line, mass }: { line: StatedLine; mass: Decimal }, total: Decimal): FormulaLine {
  const fraction = mass
    .times(line.dilution?.strength ?? '1')
    .div(total)
    .toDecimalPlaces(DECIMALS);
  return {
    id: line.id,
    material: line.material,
    fraction: plain(fraction),
    ...(line.lot === undefined ? {} : { lot: line.lot }),
  };
}

function fillLine(lines: readonly StatedLine[], solvent: string | null): FormulaLine | null {
  const stated = lines.find((line) => line.qs === true);
  if (stated !== undefined)
    return {
      id: stated.id,
      material: stated.material,
      qs: true,
      ...(stated.lot === undefined ? {} : { lot: stated.lot }),
    };
  if (solvent === null) return null;
  const own = lines.find((line) => line.material === solvent);
  return {
    id: own?.id ?? 'fill',
    material: solvent,
    qs: true,
    ...(own?.lot === undefined ? {} : { lot: own.lot }),
  };
}

/**
 * Turns lines in grams (or any unit of mass), in parts, or in dilutions of a named strength into mass fractions of
 * neat material. The solvent of a named dilution becomes part of the q.s. line, so that any bottle of the material will
 * do. Without a q.s. line, the solvent that the dilutions bring most of fills to the total.
 * @param total mass of the whole batch in g (or the count of all parts) where a q.s. line fills to it; without a q.s.
 *   line it is the sum of the amounts
 * @throws FormulaTrouble when an amount is no mass, units are mixed, or the amounts are more than the total
 */
export function fractionsFrom(lines: readonly StatedLine[], total?: DecimalText): Converted {
  const problems = checkLines(lines);
  if (problems.length > 0) throw new FormulaTrouble(problems);
  const read = lines.filter((line) => line.qs !== true).map((line) => ({ line, mass: massOf(line) }));
  const wrong = read.flatMap(({ mass }) => ('what' in mass ? [mass] : []));
  if (wrong.length > 0) throw new FormulaTrouble(wrong);
  const stated = read.flatMap(({ line, mass }) => ('what' in mass ? [] : [{ line, mass }]));
  const sum = stated.reduce((all, { mass }) => all.plus(mass), ZERO);
  const filled = lines.some((line) => line.qs === true);
  if (filled && total === undefined)
    throw trouble('total', 'a line fills to the total, and the total is not said', 'Say the total mass.');
  const whole = filled ? decimal(total ?? '0') : sum;
  if (sum.gt(whole))
    throw trouble(
      'lines',
      `the amounts add up to ${plain(sum)}, more than the total of ${plain(whole)}`,
      'Raise the total, or lower the amounts.',
    );
  const fill = fillLine(lines, filled ? null : fillOf(stated));
  const own = stated.filter(({ line }) => filled || line.material !== fill?.material);
  const inParts = stated.some(({ line }) => isPart(line.unit));
  const solvents = [...new Set(stated.flatMap(({ line }) => line.dilution?.solvent ?? []))];
  return {
    lines: [...own.map((one) => convert(one, whole)), ...(fill === null ? [] : [fill])],
    batch: inParts ? null : plain(whole),
    words: [
      WHY_GRAMS,
      ...(inParts ? ['Parts were taken as parts by mass; say how many grams are to be made.'] : []),
      ...(solvents.length > 0
        ? [
            `The ${solvents.join(', ')} of the dilutions is no line of its own: the q.s. line fills up what the bottles at hand do not bring in.`,
          ]
        : []),
    ],
  };
}
