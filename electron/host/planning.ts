import {
  batchByStock,
  batchByVolume,
  smallestSureBatch,
  splitBatch,
  type Workplace,
} from '../../core/formula/batch.ts';
import { plan } from '../../core/formula/plan.ts';
import { type Remedy, remedies } from '../../core/formula/remedies.ts';
import type { BalanceLimits, Formula, Plan, Step } from '../../core/formula/types.ts';
import { Decimal, decimal, decimalsOf, fixed, inwards } from '../../core/quantity/decimal.ts';
import { formulaOf } from './formulas.ts';
import type { Workshop } from './store/workshop.ts';
import type { Draft, PlanView } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { percent } from './view/figures.ts';
import { bottlesFor, type Worked, workingsOf } from './workings.ts';

/** Where a plan is made: the workshop, the balance on the bench, and the day. */
export interface PlanningPlace {
  readonly workshop: Workshop;
  readonly limits: BalanceLimits;
  /** ISO 8601 date. */
  readonly today: string;
  /** Codes of lots that are finished: they are not in `workshop`, and lines may still name them. */
  readonly finished?: ReadonlySet<string>;
}

/** A draft worked out: the formula at its batch size with the bottles chosen by hand, and its plan. */
export interface Drawn {
  readonly formula: Formula;
  readonly plan: Plan;
  /** How the batch size was got, in words; null when it was given as a mass. */
  readonly how: string | null;
}

const NONE: ReadonlySet<string> = new Set();

const workplace = ({ workshop, limits, today }: PlanningPlace): Workplace => ({
  materials: workshop.materials,
  lots: workshop.lots,
  balance: limits,
  today,
});

function withBottlesByHand(formula: Formula, lots: Readonly<Record<string, string>>): Formula {
  return {
    ...formula,
    lines: formula.lines.map((line) => {
      const lot = lots[line.id];
      return lot === undefined ? line : { ...line, lot };
    }),
  };
}

/** A line that names a finished lot is free to be given another; that is told with the plan. */
function withoutFinished(formula: Formula, finished: ReadonlySet<string>): Formula {
  return {
    ...formula,
    lines: formula.lines.map((line) => {
      const { lot, ...free } = line;
      return lot !== undefined && finished.has(lot) ? free : line;
    }),
  };
}

function toldFinished(chosen: Formula, made: Plan, finished: ReadonlySet<string>): Plan['warnings'] {
  return chosen.lines.flatMap(({ id, lot }) => {
    if (lot === undefined || !finished.has(lot)) return [];
    const now = made.steps.find((step) => step.line === id)?.lot;
    const instead = now === undefined ? '' : `: ${now} is poured instead`;
    return [{ line: id, what: 'finished', text: `The lot ${lot} is finished${instead}.` }];
  });
}

const lotName = (workshop: Workshop, code: string): string =>
  workshop.lots.find((lot) => lot.code === code)?.name ?? code;

/** The batch mass that a size stands for, and how it was got. @throws HostTrouble when there is none */
function sized(
  formula: Formula,
  size: NonNullable<Draft['size']>,
  place: PlanningPlace,
): { batch: string; how: string | null } {
  switch (size.by) {
    case 'mass':
      return { batch: size.g, how: null };
    case 'volume': {
      const { batch, density, assumed } = batchByVolume(formula, size.ml, workplace(place));
      const taken =
        assumed.length === 0 ? '' : ` Density not entered, and assumed, for ${assumed.join(', ')}.`;
      return {
        batch,
        how: `${size.ml} mL at an estimated ${density} g/mL: ${batch} g. An estimate, as if volumes added up.${taken}`,
      };
    }
    case 'stock': {
      const most = batchByStock(formula, workplace(place));
      if (most === null)
        throw new HostTrouble(
          'No bottle of this formula has a known stock.',
          'batch size',
          'Give the batch as a mass.',
        );
      return {
        batch: most.batch,
        how: `${lotName(place.workshop, most.lot)} (${most.lot}) runs out first, at ${most.batch} g.`,
      };
    }
    case 'sure': {
      const least = smallestSureBatch(formula, workplace(place));
      if (least === null)
        throw new HostTrouble(
          'No batch is large enough: the calibration of this balance alone takes up the tolerance.',
          'batch size',
          'Widen the tolerance, or use a better balance.',
        );
      return {
        batch: least,
        how: `The smallest batch in which this balance weighs every line surely: ${least} g.`,
      };
    }
  }
}

/** Works a draft out. @throws HostTrouble or FormulaTrouble; both say what to do next */
export function draw(draft: Draft, place: PlanningPlace): Drawn {
  const written = formulaOf(place.workshop, draft.formula);
  const finished = place.finished ?? NONE;
  const wished = withBottlesByHand(written, draft.lots ?? {});
  const chosen = withoutFinished(wished, finished);
  const { batch, how } = sized(chosen, draft.size ?? { by: 'mass', g: written.batch }, place);
  const formula = formulaOf({ ...place.workshop, formulas: [chosen] }, chosen.id, batch);
  const made = plan(formula, place.workshop.materials, place.workshop.lots, place.limits, {
    today: place.today,
    ...(draft.order === undefined ? {} : { order: draft.order }),
    ...(draft.vessel?.capacity === undefined ? {} : { vesselCapacity: draft.vessel.capacity }),
    ...(draft.vessel?.mass === undefined ? {} : { vesselMass: draft.vessel.mass }),
  });
  const told = toldFinished(wished, made, finished);
  return { formula, plan: { ...made, warnings: [...made.warnings, ...told] }, how };
}

/** Remedies of one line of a draft, in rank. */
export function remediesOf(drawn: Drawn, line: string, place: PlanningPlace): Remedy[] {
  return remedies(drawn.formula, line, workplace(place));
}

function stepView(step: Step, worked: Worked, remedied: readonly Remedy[]): PlanView['steps'][number] {
  const decimals = decimalsOf(worked.limits.d);
  const target = decimal(step.target);
  return {
    line: step.line,
    title: step.title,
    lot: step.lot,
    target: fixed(target, decimals),
    ...inwards(Decimal.max(target.minus(step.half), 0), target.plus(step.half), decimals),
    sureness: step.sureness,
    dropTooLarge: step.dropTooLarge,
    reason: step.reason,
    workings: workingsOf(step, worked),
    bottles: bottlesFor(step.material, worked.lots).map((lot) => ({
      code: lot.code,
      name: lot.name,
      strength: bottleStrength(decimal(lot.composition[step.material] ?? '0')),
    })),
    remedies: remedied.map((one) => ({
      kind: one.kind,
      text: one.text,
      sureness: one.sureness,
      applies: one.kind !== 'balance',
    })),
  };
}

/** Strength of a bottle as one chooses it by. */
const bottleStrength = (fraction: Decimal): string => (fraction.eq(1) ? 'neat' : percent(fraction));

function costOf(made: Plan, workshop: Workshop): string | null {
  let sum = new Decimal(0);
  for (const step of made.steps) {
    const price = workshop.lots.find((lot) => lot.code === step.lot)?.price;
    if (price === undefined) return null;
    sum = sum.plus(decimal(price).times(step.target));
  }
  return sum.toFixed(2);
}

/** Parts of a batch that one vessel, or the balance, cannot take whole; one part when it can. */
function partsOf(made: Plan, draft: Draft, limits: BalanceLimits): string[] {
  const room = {
    balanceCapacity: limits.capacity,
    ...(draft.vessel?.mass === undefined ? {} : { vesselMass: draft.vessel.mass }),
    ...(draft.vessel?.capacity === undefined ? {} : { vesselCapacity: draft.vessel.capacity }),
  };
  return splitBatch(made.total, room, decimalsOf(limits.d));
}

/** The plan of a draft as shown. @throws HostTrouble or FormulaTrouble */
export function planView(draft: Draft, place: PlanningPlace): PlanView {
  const drawn = draw(draft, place);
  const { workshop, limits } = place;
  const worked: Worked = { ...drawn, materials: workshop.materials, lots: workshop.lots, limits };
  return {
    total: drawn.plan.total,
    how: drawn.how,
    cost: costOf(drawn.plan, workshop),
    parts: partsOf(drawn.plan, draft, limits),
    steps: drawn.plan.steps.map((step) => stepView(step, worked, remediesOf(drawn, step.line, place))),
    warnings: [...drawn.plan.warnings],
  };
}
