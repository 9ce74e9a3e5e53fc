import { type FormulaInFile, readFormulaFile, readMass } from '../../core/formula/file.ts';
import { FormulaTrouble } from '../../core/formula/trouble.ts';
import type { BalanceLimits, Step } from '../../core/formula/types.ts';
import { Decimal, decimal, isDecimalText } from '../../core/quantity/decimal.ts';
import { limitsFor } from '../host/limits.ts';
import { type Drawn, draw, type PlanningPlace, remediesOf } from '../host/planning.ts';
import type { Draft } from '../host/table.ts';
import { workingsOf } from '../host/workings.ts';
import { readJson } from './files.ts';
import type { Talk } from './talk.ts';
import { grams } from './tell.ts';
import { WrongInput } from './wrong-input.ts';

/** Runs a reading of the file; its troubles then name the file as well as the field. */
function inFile<T>(file: string, read: () => T): T {
  try {
    return read();
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    throw new FormulaTrouble(cause.problems.map((one) => ({ ...one, field: `${file}: ${one.field}` })));
  }
}

/**
 * A formula file, with another batch size where one is given ("30g").
 * @throws WrongInput when the file cannot be read, FormulaTrouble when what it says cannot be used
 */
export function formulaFrom(file: string, batch: string | null): FormulaInFile {
  const read = inFile(file, () => readFormulaFile(readJson(file)));
  if (batch === null) return read;
  return { ...read, formula: { ...read.formula, batch: readMass(batch, '--batch') } };
}

/**
 * The batch size that the flags ask for; null for the formula's own.
 * @throws FormulaTrouble or WrongInput when a figure is not one
 */
export function planSize(flags: {
  readonly batch?: string;
  readonly volume?: string;
  readonly byStock?: boolean;
  readonly smallestSure?: boolean;
}): PlanAsk['size'] {
  if (flags.batch !== undefined) return { by: 'mass', g: readMass(flags.batch, '--batch') };
  if (flags.volume !== undefined) {
    const ml = flags.volume.replace(/\s*ml$/i, '');
    if (!isDecimalText(ml) || !(Number(ml) > 0))
      throw new WrongInput(
        `"${flags.volume}" is no volume.`,
        '--volume',
        'Write millilitres above 0, as in 30.',
      );
    return { by: 'volume', ml };
  }
  if (flags.byStock === true) return { by: 'stock' };
  return flags.smallestSure === true ? { by: 'sure' } : null;
}

/** What a plan is asked for besides its formula. */
export interface PlanAsk {
  readonly size: NonNullable<Draft['size']> | null;
  /** Add the workings of every step and the remedies of those not well weighed. */
  readonly explain: boolean;
  /** Folder of the workshop whose balance it is planned for, and the bench; null for the usual limits, and the first. */
  readonly database: string | null;
  readonly bench: string | null;
}

/** The balance that a plan is made for. */
export interface PlanBalance {
  /** What it is, and whence it is known, in words. */
  readonly words: string;
  readonly limits: BalanceLimits;
  /** Where each limit comes from, in words. */
  readonly from: Readonly<Record<keyof BalanceLimits, string>>;
}

const TAKEN = 'common practice, no source';

/** What is taken where no workshop says which balance it is. */
const usualBalance = (): PlanBalance => ({
  words: 'a jewellery balance with the usual limits, as no workshop is named with --database',
  limits: limitsFor(null),
  from: { d: TAKEN, s: 'the floor 0.41 d', c: TAKEN, capacity: TAKEN },
});

async function balanceFor({ database, bench }: PlanAsk): Promise<PlanBalance> {
  if (database !== null) {
    const { workshopBalance } = await import('./plan-balance.ts');
    return workshopBalance(database, bench);
  }
  if (bench === null) return usualBalance();
  throw new WrongInput(
    'A bench belongs to a workshop, and none is named.',
    '--bench',
    'Name the folder of its database with --database.',
  );
}

/**
 * Writes the plan of a formula file as one line of JSON, with the limits of the balance it is for. Masses in g.
 * @returns 0
 * @throws WrongInput, FormulaTrouble, StoreTrouble
 */
export async function planCommand(file: string, ask: PlanAsk, talk: Talk): Promise<number> {
  const { formula, materials, lots, words } = formulaFrom(file, null);
  const balance = await balanceFor(ask);
  const { limits } = balance;
  const place: PlanningPlace = {
    workshop: { materials, lots, formulas: [formula] },
    limits,
    today: new Date().toISOString().slice(0, 10),
  };
  const drawn = draw({ formula: formula.id, ...(ask.size === null ? {} : { size: ask.size }) }, place);
  talk.emit({
    formula: formula.name,
    total_g: drawn.plan.total,
    ...(drawn.how === null ? {} : { size: drawn.how }),
    ...(words.length === 0 ? {} : { notes: words }),
    tolerance: drawn.plan.tolerance,
    readability_g: limits.d,
    balance: balanceJson(balance),
    steps: drawn.plan.steps.map((step) => ({
      ...stepJson(step),
      ...(ask.explain ? explained(step, drawn, place) : {}),
    })),
    warnings: drawn.plan.warnings.map(({ line, what, text }) => ({ line, what, text })),
  });
  const { d, s, capacity } = limits;
  talk.say(`Planned with d = ${d} g, s = ${s} g, capacity ${capacity} g, for ${balance.words}.`);
  return 0;
}

function balanceJson({ words, limits, from }: PlanBalance) {
  const { d, s, c, capacity } = limits;
  return { is: words, d_g: d, s_g: s, c, capacity_g: capacity, from };
}

function explained(step: Step, drawn: Drawn, place: PlanningPlace) {
  const { materials, lots } = place.workshop;
  return {
    workings: workingsOf(step, { ...drawn, materials, lots, limits: place.limits }),
    remedies: remediesOf(drawn, step.line, place).map(({ kind, sureness, text }) => ({
      kind,
      sureness,
      text,
    })),
  };
}

function stepJson(step: Step) {
  const target = decimal(step.target);
  const low = Decimal.max(target.minus(step.half), 0);
  return {
    line: step.line,
    material: step.material,
    lot: step.lot,
    title: step.title,
    target_g: grams(target),
    window_g: [grams(low), grams(target.plus(step.half))],
    drop_g: step.drop,
    drop_too_large: step.dropTooLarge,
    sureness: step.sureness,
    reason: step.reason,
  };
}
