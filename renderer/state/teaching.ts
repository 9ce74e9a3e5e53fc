import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import { ask, askReply } from './host.ts';
import { fetchCourse } from './practice.ts';

/** Every bench of this machine as a teacher sees it; null until the host has told. */
export const seen = signal<Output<'practice.benches'> | null>(null);
/** The rules with their weights, and the score from which a lesson is passed. */
export const rules = signal<Output<'practice.rules'> | null>(null);

/** Benches are looked at so often while the leaf is open, ms. */
const LOOK_EVERY = 500;

async function look(): Promise<void> {
  const reply = await askReply('practice.benches', {});
  if (reply.ok) seen.value = reply.value;
}

/** Looks at every bench until the returned function ends it. */
export function watchBenches(): () => void {
  void look();
  const timer = setInterval(() => void look(), LOOK_EVERY);
  return () => clearInterval(timer);
}

export async function fetchRules(): Promise<void> {
  const told = await ask('practice.rules', {});
  if (told !== null) rules.value = told;
}

export async function weigh(rule: string, weight: number): Promise<void> {
  const told = await ask('practice.weigh', { rule, weight });
  if (told !== null) rules.value = told;
}

export async function setPassMark(score: number): Promise<void> {
  const told = await ask('practice.pass-mark', { score });
  if (told !== null) rules.value = told;
}

export type ExerciseDraft = Input<'practice.exercise-save'>;

const EMPTY: ExerciseDraft = {
  title: '',
  what: '',
  formula: '',
  tolerance: '0.02',
  batch: '10',
  minutes: 8,
  timed: false,
  room: 'quiet',
  cautions: 'shown',
  slip: 0,
};

/** The exercise that is being made. */
export const exercise = signal<ExerciseDraft>(EMPTY);
/** Why an exercise was not made, or a file not taken. */
export const exerciseTrouble = signal<{ readonly of: 'make' | 'take'; readonly trouble: Trouble } | null>(
  null,
);
export const exerciseSaid = signal('');

export function writeExercise(part: Partial<ExerciseDraft>): void {
  exercise.value = { ...exercise.value, ...part };
}

export async function makeExercise(): Promise<void> {
  exerciseSaid.value = '';
  const reply = await askReply('practice.exercise-save', exercise.value);
  exerciseTrouble.value = reply.ok ? null : { of: 'make', trouble: reply.trouble };
  if (!reply.ok) return;
  exerciseSaid.value = `"${exercise.value.title}" stands under the course.`;
  exercise.value = { ...EMPTY, formula: exercise.value.formula };
  await fetchCourse();
}

/** Takes in an exercise that somebody else saved as a file. */
export async function takeExercise(text: string): Promise<void> {
  exerciseSaid.value = '';
  const reply = await askReply('practice.exercise-take', { text });
  exerciseTrouble.value = reply.ok ? null : { of: 'take', trouble: reply.trouble };
  if (!reply.ok) return;
  exerciseSaid.value = 'The exercise of the file stands under the course.';
  await fetchCourse();
}

export async function removeExercise(id: string): Promise<void> {
  await ask('practice.exercise-remove', { id });
  await fetchCourse();
}

export async function saveExercise(
  id: string,
  download: (file: Output<'practice.exercise-file'>) => void,
): Promise<void> {
  const file = await ask('practice.exercise-file', { id });
  if (file === null) return;
  download(file);
  exerciseSaid.value = `Handed over as ${file.name}`;
}
