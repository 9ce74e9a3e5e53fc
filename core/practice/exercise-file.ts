import { z } from 'zod';
import { plan } from '../formula/plan.ts';
import { FormulaTrouble } from '../formula/trouble.ts';
import type { BalanceLimits, Formula, Lot, Material } from '../formula/types.ts';
import {
  Formula as FormulaShape,
  Lot as LotShape,
  Material as MaterialShape,
} from '../record/event-schema.ts';
import { PracticeRefusal } from './deeds.ts';
import { type Lesson, ROOMS } from './lesson.ts';

/** Mark at the head of an exercise file; the number goes up when an older reader could misread the file. */
export const EXERCISE_FORMAT = 'pourwright exercise 1';

const text = (most: number) =>
  z
    .string({ error: 'is not text' })
    .trim()
    .max(most, { error: `is longer than ${most} characters` });

/** A teacher's exercise as a file: a formula with the bottles it is poured from, its tolerance, and what disturbs. */
const ExerciseFile = z.strictObject({
  format: z.literal(EXERCISE_FORMAT, { error: `is not "${EXERCISE_FORMAT}"` }),
  title: text(80).min(1, { error: 'is empty' }),
  what: text(600),
  minutes: z.number().int().min(2).max(60),
  timed: z.boolean(),
  room: z.enum(ROOMS, { error: 'is not quiet, normal or draughty' }),
  cautions: z.enum(['shown', 'required'], { error: 'is not shown or required' }),
  /** Drops too many that fall onto the first line. */
  slip: z.number().int().min(0).max(10),
  formula: FormulaShape,
  materials: z.array(MaterialShape).min(1).max(400),
  lots: z.array(LotShape).min(1).max(400),
});
export type ExerciseFile = z.infer<typeof ExerciseFile>;

/** What limits an exercise is tried against: a common balance of 200 g x 0.01 g. */
const COMMON: BalanceLimits = { d: '0.01', s: '0.0041', c: '0.0001', capacity: '200' };

/** Whether it can be planned at all. @throws PracticeRefusal with every problem */
function expectPlannable({
  formula,
  materials,
  lots,
}: Pick<ExerciseFile, 'formula' | 'materials' | 'lots'>): void {
  try {
    plan(formula as Formula, materials as Material[], lots as Lot[], COMMON);
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    throw new PracticeRefusal(
      `This exercise cannot be poured: ${cause.problems.map((one) => `${one.field} ${one.what}`).join('; ')}.`,
      cause.problems[0]?.next ?? 'Correct the formula.',
    );
  }
}

/** Reads the text of an exercise file. @throws PracticeRefusal that names the first field that is wrong */
export function readExercise(source: string): ExerciseFile {
  let json: unknown;
  try {
    json = JSON.parse(source);
  } catch (cause) {
    throw new PracticeRefusal(
      `This is no JSON file: ${cause instanceof Error ? cause.message : String(cause)}.`,
      'Choose a file that "Save as a file" wrote.',
    );
  }
  const parsed = ExerciseFile.safeParse(json);
  if (!parsed.success) {
    const first = parsed.error.issues[0];
    const field = first === undefined || first.path.length === 0 ? 'The file' : `"${first.path.join('.')}"`;
    throw new PracticeRefusal(
      `This is no exercise this program can read: ${field} ${first?.message ?? 'is not as it should be'}.`,
      'Nothing was taken. Ask for the file again, or make the exercise here.',
    );
  }
  expectPlannable(parsed.data);
  return parsed.data;
}

export interface ExercisePlan extends Omit<ExerciseFile, 'format' | 'formula' | 'materials' | 'lots'> {
  readonly formula: Formula;
}

const bare = ({ code, name, composition, uncertainty, drop }: Lot): Lot => ({
  code,
  name,
  composition,
  ...(uncertainty === undefined ? {} : { uncertainty }),
  ...(drop === undefined ? {} : { drop }),
});

/**
 * An exercise from a formula of the workshop: the file carries the formula with the bottles it would be poured from now,
 * without their stock and price.
 * @throws FormulaTrouble when the formula cannot be planned from these lots
 */
export function exerciseFrom(
  { formula, ...order }: ExercisePlan,
  materials: readonly Material[],
  lots: readonly Lot[],
): ExerciseFile {
  const made = plan(formula, materials, lots, COMMON);
  const lotOf = new Map(made.steps.map((step) => [step.line, step.lot]));
  const used = lots.filter((one) => made.steps.some((step) => step.lot === one.code)).map(bare);
  const keys = new Set([
    ...used.flatMap((one) => Object.keys(one.composition)),
    ...formula.lines.map((one) => one.material),
  ]);
  const lines = formula.lines.map((line) => {
    const lot = lotOf.get(line.id);
    return lot === undefined ? line : { ...line, lot };
  });
  return ExerciseFile.parse({
    format: EXERCISE_FORMAT,
    ...order,
    formula: { ...formula, lines },
    materials: materials.filter((one) => keys.has(one.key)),
    lots: used,
  });
}

/** The lesson that an exercise file is. */
export function lessonOfFile(id: string, file: ExerciseFile): Lesson {
  const { title, what, minutes, timed, room, cautions, slip } = file;
  const formula = file.formula as Formula;
  const first = formula.lines.find((line) => line.qs !== true)?.id;
  return {
    id,
    title,
    what: what === '' ? `Pour "${formula.name}", ${formula.batch} g in all.` : what,
    why: 'An exercise of this workshop.',
    good: 'Every line inside its window, and every step in its order.',
    cautions: [...new Set(file.materials.flatMap((one) => one.cautions ?? []))],
    about: [],
    minutes,
    ...(timed ? { timed: true as const } : {}),
    room,
    task: {
      engine: 'pour',
      formula,
      materials: file.materials as Material[],
      lots: file.lots as Lot[],
      cautions,
      ...(slip > 0 && first !== undefined ? { slip: { line: first, drops: slip } } : {}),
    },
  };
}
