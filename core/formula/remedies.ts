import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import { planAt, plannedComposition, upToThree, type Workplace, withBottles } from './batch.ts';
import { FormulaTrouble } from './trouble.ts';
import type { Formula, FormulaLine, Lot, Plan, Step, Sureness } from './types.ts';
import { halfWindow, leastSure, scaleOf, sureness } from './weighable.ts';

/** A way to weigh a line more surely. `formula` is what to plan instead; nothing is changed until a person says so. */
export type Remedy =
  /** A bottle on the shelf in which the material is weaker. */
  | (Common & { readonly kind: 'bottle'; readonly formula: Formula; readonly lot: string })
  /** A dilution to make first: `first` is its own formula, `formula` the old one with the lot it becomes. */
  | (Common & {
      readonly kind: 'dilution';
      readonly strength: DecimalText;
      readonly first: Formula;
      readonly formula: Formula;
      /** The lot as planned, under the code that `formula` names. */
      readonly lot: Lot;
    })
  /** A larger batch. */
  | (Common & { readonly kind: 'batch'; readonly formula: Formula; readonly batch: DecimalText })
  /** A finer balance on the bench, of readability `d`. */
  | (Common & { readonly kind: 'balance'; readonly d: DecimalText });

interface Common {
  readonly line: string;
  /** Pour mass of the line with this remedy, in g, and how surely it is then weighed. */
  readonly target: DecimalText;
  readonly sureness: Sureness;
  readonly text: string;
}

/** Strengths at which a dilution is offered, strongest first. */
const STRENGTHS: readonly DecimalText[] = ['0.5', '0.2', '0.1', '0.05', '0.02', '0.01', '0.001'];

/** Readabilities of balances finer than the one on the bench, g. */
const FINER: readonly DecimalText[] = ['0.01', '0.001', '0.0001', '0.00001'];

/**
 * A dilution to make first has at most this share of the strength of the bottle it is made from, and of the one that
 * is poured now: nobody makes 50 % out of 49 %, nor for a pour hardly larger (chosen, no source).
 */
export const WEAKER_BY = new Decimal('0.8');

/** A dilution is made with so much more than the batch takes (chosen, no source). */
const SPARE = new Decimal('1.2');

const RANK: Readonly<Record<Sureness, number>> = { sure: 0, coarse: 1, blind: 2 };

/** Whether a step is well: surely weighed, with a window as wide as a drop. */
const isWell = (step: Step): boolean => step.sureness === 'sure' && !step.dropTooLarge;

/** Whether `then` is a remedy for `now`: weighed more surely or, where it was sure, with a window as wide as a drop. */
const isBetter = (then: Step, now: Step): boolean =>
  now.sureness === 'sure' ? isWell(then) : RANK[then.sureness] < RANK[now.sureness];

const percent = (fraction: Decimal): string => `${plain(fraction.times(100).toSignificantDigits(4))} %`;

const grams = (mass: DecimalText): string => `${plain(decimal(mass).toSignificantDigits(4))} g`;

function tried(formula: Formula, place: Workplace): Plan | null {
  try {
    return planAt(formula, place);
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return null;
    throw cause;
  }
}

const withLot = (formula: Formula, line: string, lot: string): Formula => ({
  ...formula,
  lines: formula.lines.map((one) => (one.id === line ? { ...one, lot } : one)),
});

/** Bottles that hold the line's material and otherwise only solvents. */
function bottlesOf(line: FormulaLine, place: Workplace): Lot[] {
  const solvents = new Set(place.materials.filter((one) => one.kind === 'solvent').map((one) => one.key));
  return place.lots.filter(
    (lot) =>
      Number(lot.composition[line.material] ?? 0) > 0 &&
      Object.keys(lot.composition).every((key) => key === line.material || solvents.has(key)),
  );
}

const strengthOf = (lot: Lot, line: FormulaLine): Decimal => decimal(lot.composition[line.material] ?? '0');

function weakerBottles(formula: Formula, line: FormulaLine, now: Step, place: Workplace): Remedy[] {
  const current = place.lots.find((lot) => lot.code === now.lot);
  if (current === undefined) return [];
  return bottlesOf(line, place)
    .filter((lot) => strengthOf(lot, line).lt(strengthOf(current, line)))
    .flatMap((lot): Remedy[] => {
      const changed = withLot(formula, line.id, lot.code);
      const step = tried(changed, place)?.steps.find((one) => one.line === line.id);
      if (step === undefined || !isBetter(step, now)) return [];
      if (lot.stock !== undefined && decimal(lot.stock).lt(step.target)) return [];
      return [
        {
          kind: 'bottle',
          line: line.id,
          formula: changed,
          lot: lot.code,
          target: step.target,
          sureness: step.sureness,
          text: `Pour ${grams(step.target)} of ${lot.name} (${lot.code}) instead.`,
        },
      ];
    })
    .sort((a, b) => RANK[a.sureness] - RANK[b.sureness] || decimal(a.target).cmp(b.target));
}

/** Smallest handy mass (1, 2, 5, 10 ... g) that is not below `least`. */
function handy(least: Decimal): DecimalText {
  const decade = new Decimal(10).pow(least.log(10).floor());
  const found = [1, 2, 5, 10].map((times) => decade.times(times)).find((mass) => mass.gte(least));
  return plain(found ?? decade.times(10));
}

/** A dilution at `strength` made from the bottle that needs the smallest mass to be surely weighed. */
function dilutionPlan(
  formula: Formula,
  line: FormulaLine,
  strength: DecimalText,
  least: Decimal,
  place: Workplace,
): { first: Formula; lot: Lot } | null {
  const fill = formula.lines.find((one) => one.qs === true);
  if (fill === undefined) return null;
  const needed = decimal(formula.batch)
    .times(decimal(line.fraction ?? '0'))
    .div(strength)
    .times(SPARE);
  const sources = bottlesOf(line, place)
    .filter((lot) => strengthOf(lot, line).times(WEAKER_BY).gte(strength))
    .map((lot) => ({
      lot,
      batch: handy(Decimal.max(needed, least.times(strengthOf(lot, line)).div(strength))),
    }))
    .sort((a, b) => decimal(a.batch).cmp(b.batch) || strengthOf(b.lot, line).cmp(strengthOf(a.lot, line)));
  for (const { lot: source, batch } of sources) {
    if (decimal(batch).gt(place.balance.capacity)) return null;
    const name = place.materials.find((one) => one.key === line.material)?.name ?? line.material;
    const title = `${name} ${percent(decimal(strength))}`;
    const draft: Formula = {
      id: `${line.material}-${strength}`,
      name: `${title}, dilution`,
      batch,
      tolerance: formula.tolerance,
      lines: [
        { id: 'l1', material: line.material, fraction: strength, lot: source.code },
        { id: 'l2', material: fill.material, qs: true, ...(fill.lot === undefined ? {} : { lot: fill.lot }) },
      ],
    };
    const made = tried(draft, place);
    if (made === null || made.steps.some((step) => step.sureness !== 'sure')) continue;
    if (made.warnings.some((warning) => warning.what === 'stock')) continue;
    const composition = Object.fromEntries(
      [...plannedComposition(made, place.lots)].map(([key, part]) => [key, plain(part.toDecimalPlaces(12))]),
    );
    const code = `${source.code}-${plain(decimal(strength).times(100))}`;
    return { first: withBottles(draft, made), lot: { code: unused(code, place), name: title, composition } };
  }
  return null;
}

function unused(code: string, place: Workplace): string {
  const taken = new Set(place.lots.map((lot) => lot.code));
  let free = code;
  for (let count = 2; taken.has(free); count++) free = `${code}-${count}`;
  return free;
}

function newDilutions(
  formula: Formula,
  line: FormulaLine,
  now: Step,
  least: Decimal,
  place: Workplace,
): Remedy[] {
  const current = place.lots.find((lot) => lot.code === now.lot);
  if (current === undefined) return [];
  /* Of a dilution no stronger than the line itself nothing but more of the same would be poured. */
  const share = decimal(line.fraction ?? '0').times(decimal(formula.tolerance).plus(1));
  const weakerThan = strengthOf(current, line).times(WEAKER_BY);
  for (const strength of STRENGTHS.filter((one) => share.lt(one) && weakerThan.gte(one))) {
    const dilution = dilutionPlan(formula, line, strength, least, place);
    if (dilution === null) continue;
    const changed = withLot(formula, line.id, dilution.lot.code);
    const made = tried(changed, { ...place, lots: [...place.lots, dilution.lot] });
    const step = made?.steps.find((one) => one.line === line.id);
    if (step === undefined || step.sureness !== 'sure' || !isBetter(step, now)) continue;
    const pours = dilution.first.lines[0]?.lot ?? '';
    return [
      {
        kind: 'dilution',
        line: line.id,
        strength,
        first: dilution.first,
        formula: changed,
        lot: dilution.lot,
        target: step.target,
        sureness: step.sureness,
        text: `First make ${dilution.first.batch} g of ${dilution.lot.name} from ${pours}, then pour ${grams(step.target)} of it.`,
      },
    ];
  }
  return [];
}

/** Least mass at which the step is well: surely weighed or, where it is that already, with a window as wide as a drop. */
const leastWell = (now: Step, least: Decimal, tolerance: DecimalText): Decimal =>
  now.sureness === 'sure' ? decimal(now.drop).div(2).div(tolerance) : least;

function largerBatch(formula: Formula, now: Step, least: Decimal): Remedy[] {
  const factor = leastWell(now, least, formula.tolerance).div(now.target);
  if (!factor.gt(1)) return [];
  const batch = upToThree(decimal(formula.batch).times(factor));
  const target = decimal(now.target).times(batch).div(formula.batch);
  return [
    {
      kind: 'batch',
      line: now.line,
      formula: { ...formula, batch },
      batch,
      target: plain(target.toDecimalPlaces(12)),
      sureness: 'sure',
      text: `Make ${batch} g, so that ${grams(plain(target.toDecimalPlaces(12)))} of ${now.title} are poured.`,
    },
  ];
}

function finerBalance(formula: Formula, now: Step, place: Workplace): Remedy[] {
  if (now.sureness === 'sure') return [];
  const tolerance = decimal(formula.tolerance);
  const target = decimal(now.target);
  for (const d of FINER) {
    if (!decimal(d).lt(place.balance.d)) continue;
    const scale = scaleOf({ ...place.balance, d, s: '0' });
    if (sureness(target, halfWindow(target, tolerance, scale.d), tolerance, scale) !== 'sure') continue;
    return [
      {
        kind: 'balance',
        line: now.line,
        d,
        target: now.target,
        sureness: 'sure',
        text: `Weigh this line on a balance that shows ${d} g.`,
      },
    ];
  }
  return [];
}

/**
 * Ways to pour a line well, ranked: a weaker bottle already on the shelf; the strongest dilution to make first that
 * does, itself surely weighed; a larger batch; a finer balance. Each one was planned, so that it can be applied as it is.
 * Empty for a line that is sure with a window as wide as a drop, is not poured, or fills to the total.
 * @throws FormulaTrouble when the formula cannot be planned as it stands
 */
export function remedies(formula: Formula, lineId: string, place: Workplace): Remedy[] {
  const made = planAt(formula, place);
  const line = formula.lines.find((one) => one.id === lineId);
  const now = made.steps.find((step) => step.line === lineId);
  if (line === undefined || now === undefined || now.qs || isWell(now)) return [];
  const named = withBottles(formula, made);
  const least = leastSure(formula.tolerance, place.balance);
  return [
    ...weakerBottles(named, line, now, place),
    ...(least === null ? [] : newDilutions(named, line, now, least, place)),
    ...(least === null ? [] : largerBatch(named, now, least)),
    ...finerBalance(formula, now, place),
  ];
}
