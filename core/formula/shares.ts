import { Decimal, decimal, plain } from '../quantity/decimal.ts';
import { FormulaTrouble, type Problem } from './trouble.ts';
import type { WrittenFormula, WrittenLine } from './written.ts';

/** What a line asks for, as a fraction of the whole batch. */
export interface LineShare {
  readonly line: WrittenLine;
  /** Of the material, the dilution or the accord, as the line speaks of it. */
  readonly share: Decimal;
  /** Of the neat material; the same for an accord. */
  readonly neat: Decimal;
}

/** A written formula as fractions of the whole, its accords not yet opened. */
export interface Shares {
  readonly lines: readonly LineShare[];
  /** What the lines come to together. */
  readonly sum: Decimal;
  /** The material that fills to the whole, with its line where it has one; null where nothing does. */
  readonly fill: { readonly material: string; readonly line: WrittenLine | null } | null;
  /** What is not as it must be, each at its field. */
  readonly problems: readonly Problem[];
}

const ZERO = new Decimal(0);
const ONE = new Decimal(1);
/** Relative difference that is rounding of what was typed, not an error of the formula. */
const SLACK = new Decimal('1e-9');

const at = (line: WrittenLine, part: 'amount' | 'dilution' | 'of'): string => `line ${line.id} ${part}`;
const percent = (value: Decimal): string => `${plain(value.times(100).toSignificantDigits(6))} %`;

function checkLine(line: WrittenLine): Problem[] {
  const { amount, dilution, qs, of } = line;
  const problems: Problem[] = [];
  if (qs === true && 'formula' in of)
    problems.push({
      field: at(line, 'of'),
      what: 'an accord cannot fill to the total',
      next: 'Let a solvent be the q.s. line, and give the accord its share.',
    });
  if (qs === true && amount !== undefined)
    problems.push({
      field: at(line, 'amount'),
      what: 'the q.s. line takes no amount',
      next: 'Leave it empty.',
    });
  if (qs !== true && (amount === undefined || !decimal(amount.figure).gt(0)))
    problems.push({
      field: at(line, 'amount'),
      what: amount === undefined ? 'the amount is missing' : `${amount.figure} is not above 0`,
      next: 'Write how much goes in, or make this the q.s. line.',
    });
  if (dilution !== undefined) {
    const strength = decimal(dilution.strength);
    if (!strength.gt(0) || strength.gt(1))
      problems.push({
        field: at(line, 'dilution'),
        what: `a strength of ${percent(strength)} is not above 0 and at most 100 %`,
        next: 'Write how much of the dilution is neat, such as 10.',
      });
    if ('formula' in of)
      problems.push({
        field: at(line, 'dilution'),
        what: 'an accord has no strength of its own here',
        next: 'Write the solvent as a line of the accord.',
      });
  }
  return problems;
}

function checkWhole(written: WrittenFormula): Problem[] {
  const problems: Problem[] = [];
  if (!decimal(written.batch).gt(0))
    problems.push({
      field: 'batch',
      what: `a batch of ${written.batch} g cannot be poured`,
      next: 'Write a mass above 0.',
    });
  const tolerance = decimal(written.tolerance);
  if (!tolerance.gt(0) || tolerance.gte('0.5'))
    problems.push({
      field: 'tolerance',
      what: `a tolerance of ${percent(tolerance)} is not above 0 and below 50 %`,
      next: 'Write half the width of a window, such as 1 %.',
    });
  const fills = written.lines.filter((line) => line.qs === true);
  if (fills.length > 1)
    problems.push({
      field: 'lines',
      what: 'two lines fill to the total',
      next: 'Only one line may be q.s.; give the others an amount.',
    });
  if (written.lines.every((line) => line.qs === true))
    problems.push({ field: 'lines', what: 'no line states an amount', next: 'Add a line.' });
  if (new Set(written.lines.map((line) => line.id)).size < written.lines.length)
    problems.push({ field: 'lines', what: 'two lines have the same name', next: 'Give each its own.' });
  const inParts = written.lines.some((line) => line.amount?.unit === 'parts');
  if (written.partsOf !== undefined && !decimal(written.partsOf).gt(0))
    problems.push({
      field: 'partsOf',
      what: `${written.partsOf} parts are not above 0`,
      next: 'Write how many parts make the whole.',
    });
  else if (inParts && fills.length > 0 && written.partsOf === undefined)
    problems.push({
      field: 'partsOf',
      what: 'a line fills to the total, and how many parts the total has is not said',
      next: 'Write how many parts make the whole, such as 100.',
    });
  return problems;
}

/** The fraction of the whole that one part stands for. */
function partIn(written: WrittenFormula): Decimal {
  if (written.partsOf !== undefined) return ONE.div(written.partsOf);
  let others = ZERO;
  let parts = ZERO;
  for (const { amount } of written.lines) {
    if (amount === undefined) continue;
    if (amount.unit === 'parts') parts = parts.plus(amount.figure);
    else others = others.plus(decimal(amount.figure).div(amount.unit === 'percent' ? 100 : written.batch));
  }
  return parts.isZero() ? ZERO : Decimal.max(ONE.minus(others), 0).div(parts);
}

function shareOf(line: WrittenLine, written: WrittenFormula, part: Decimal): LineShare {
  const figure = decimal(line.amount?.figure ?? '0');
  const unit = line.amount?.unit ?? 'percent';
  const share =
    unit === 'percent' ? figure.div(100) : unit === 'grams' ? figure.div(written.batch) : figure.times(part);
  return { line, share, neat: share.times(line.dilution?.strength ?? '1') };
}

/** The solvent that the named dilutions bring most of: it fills where no line says so. */
function carriedMost(lines: readonly LineShare[]): string | null {
  const carried = new Map<string, Decimal>();
  for (const { line, share, neat } of lines)
    if (line.dilution !== undefined && share.gt(neat))
      carried.set(
        line.dilution.solvent,
        (carried.get(line.dilution.solvent) ?? ZERO).plus(share).minus(neat),
      );
  const [most] = [...carried].sort(([, a], [, b]) => b.cmp(a));
  return most?.[0] ?? null;
}

/** A formula over or under the whole, with what to do. */
function checkSum(
  written: WrittenFormula,
  { sum, lines }: Pick<Shares, 'sum' | 'lines'>,
  filled: boolean,
): Problem[] {
  const over = sum.minus(1);
  const nothingForParts = lines.some(({ line, share }) => line.amount?.unit === 'parts' && share.isZero());
  const raise = written.lines.some((line) => line.amount?.unit === 'grams')
    ? `, or raise the batch to ${plain(decimal(written.batch).times(sum).toSignificantDigits(8))} g`
    : '';
  if (over.gt(SLACK))
    return [
      {
        field: 'lines',
        what: `the lines add up to ${percent(sum)}, ${percent(over)} too much`,
        next: `Lower lines by ${percent(over)} of the batch in all${raise}.`,
      },
    ];
  if (nothingForParts)
    return [
      {
        field: 'lines',
        what: 'the other lines leave nothing for those in parts',
        next: 'Lower the others, or say how many parts make the whole.',
      },
    ];
  if (filled && over.abs().lte(SLACK))
    return [
      {
        field: 'lines',
        what: 'the lines add up to 100 % and leave nothing for the q.s. line',
        next: 'Lower a line, or take the q.s. line out.',
      },
    ];
  if (filled || over.abs().lte(SLACK)) return [];
  return [
    {
      field: 'lines',
      what: `the lines add up to ${percent(sum)}, ${percent(over.neg())} are missing, and no line fills to the total`,
      next: 'Make the solvent the q.s. line, or raise lines until they add up to 100 %.',
    },
  ];
}

/** Fractions of the whole for every line, as it stands; what is wrong is told and does not stop the sums. */
export function sharesOf(written: WrittenFormula): Shares {
  const lineProblems = written.lines.flatMap(checkLine);
  const whole = checkWhole(written);
  const countable = whole.every(({ field }) => field !== 'batch' && field !== 'partsOf');
  const part = countable ? partIn(written) : ZERO;
  const stated = written.lines.filter((line) => line.qs !== true);
  const lines = countable ? stated.map((line) => shareOf(line, written, part)) : [];
  const sum = lines.reduce((all, { share }) => all.plus(share), ZERO);
  const line = written.lines.find((one) => one.qs === true) ?? null;
  const material = line === null ? carriedMost(lines) : 'material' in line.of ? line.of.material : null;
  const before = [...whole, ...lineProblems];
  return {
    lines,
    sum,
    fill: material === null ? null : { material, line },
    problems: before.length > 0 || !countable ? before : checkSum(written, { sum, lines }, line !== null),
  };
}

/** The same of a formula that is whole. @throws FormulaTrouble with every problem found */
export function wholeShares(written: WrittenFormula): Shares {
  const shares = sharesOf(written);
  if (shares.problems.length > 0) throw new FormulaTrouble(shares.problems);
  return shares;
}
