import { stepNow } from '../../../core/practice/exercise.ts';
import type { ExerciseStep, ExerciseTask, Lesson, PourTask } from '../../../core/practice/lesson.ts';
import { RULES } from '../../../core/practice/score.ts';
import type { Output } from '../table.ts';
import type { LessonRun } from './run.ts';

type LessonView = NonNullable<Output<'practice.view'>>;
type Now = LessonView['now'];

const LABELS = {
  look: 'It is so',
  zero: 'The pan is at zero',
  put: 'It stands there',
  read: 'Read',
  add: 'It is in',
  tare: 'It is tared',
  count: 'Take the count',
  answer: 'Answer',
  off: 'It is off',
} as const;

function nowOf(step: ExerciseStep): Now {
  const typed = step.do === 'count' || step.do === 'answer';
  const verdict = step.do === 'answer' && step.wanted.from === 'limit';
  return {
    step: step.id,
    does: typed ? 'answer' : step.do === 'read' ? 'read' : 'done',
    label: LABELS[step.do],
    says: step.says,
    options: verdict
      ? [
          { value: 'inside', says: 'Inside: it may be used' },
          { value: 'outside', says: 'Outside: it is not used today' },
        ]
      : [],
    unit: step.do === 'answer' ? step.unit : step.do === 'count' ? 'drops' : '',
    zero: step.do === 'zero',
    tare: step.do === 'tare',
  };
}

/** The figure that a step left, as it is shown beside it. */
function figureOf(run: LessonRun, step: ExerciseStep): string | null {
  const deed = run.evidence().deeds.find((one) => 'step' in one && one.step === step.id);
  if (deed?.type === 'read') return `${deed.g} g`;
  if (deed?.type === 'counted') return `${deed.drops} drops`;
  return deed?.type === 'answered'
    ? `${deed.given}${step.do === 'answer' && step.unit !== '' ? ` ${step.unit}` : ''}`
    : null;
}

function guided(run: LessonRun, task: ExerciseTask): Pick<LessonView, 'steps' | 'now' | 'object' | 'liquid'> {
  const place = run.exercise?.place ?? 0;
  const step = run.exercise === null ? null : stepNow(run.exercise);
  return {
    steps: task.steps.map((one, i) => ({
      id: one.id,
      says: one.says,
      state: i < place ? 'done' : i === place ? 'now' : 'next',
      figure: i < place ? figureOf(run, one) : null,
    })),
    now: step === null ? null : nowOf(step),
    object: task.steps.some((one) => one.do === 'put' && one.what === 'weight') ? 'Weight' : 'Vessel',
    liquid: task.steps.some((one) => one.do === 'add'),
  };
}

const poured = (task: PourTask): Pick<LessonView, 'shelf'> => ({
  shelf: (task.shelf ?? []).map((code) => ({
    lot: code,
    name: task.lots.find((one) => one.code === code)?.name ?? code,
  })),
});

/** A lesson under way as a window shows it, beside what the bench itself shows. */
export function lessonView(run: LessonRun, simulated: boolean): LessonView {
  const { lesson, learner } = run;
  const { task } = lesson;
  const whole = task.engine === 'pour';
  const lines = whole ? task.formula.lines.length : 0;
  return {
    lesson: lesson.id,
    title: lesson.title,
    learner: learner.name,
    began: new Date(run.began).toISOString(),
    clock: lesson.timed === true ? lesson.minutes : null,
    whole,
    simulated,
    ...(whole
      ? { steps: [], now: null, object: 'Vessel', liquid: true, ...poured(task) }
      : { ...guided(run, task), shelf: [] }),
    freshPipette: lines > 1 ? run.freshPipette : null,
    done: run.done,
  };
}

/** A lesson as its page tells it, before it begins. */
export function lessonPage(lesson: Lesson, own: boolean): Output<'practice.lesson'> {
  const { id, title, what, why, good, cautions, about, minutes, task } = lesson;
  const whole = task.engine === 'pour';
  return {
    id,
    title,
    what,
    why,
    good,
    cautions: [...cautions],
    about: RULES.filter((one) => about.includes(one.id)).map((one) => one.title),
    minutes,
    timed: lesson.timed === true,
    whole,
    steps: whole
      ? task.formula.lines.map((line) => {
          const lot = task.lots.find((one) => one.code === line.lot);
          return `${lot?.name ?? line.material}${line.lot === undefined ? '' : `, lot ${line.lot}`}`;
        })
      : task.steps.map((step) => step.says),
    needs: whole
      ? ['An empty vessel', ...task.lots.map((lot) => `${lot.name}, lot ${lot.code}`), 'Clean pipettes']
      : task.steps.some((step) => step.do === 'put' && step.what === 'weight')
        ? ['A 50 g check weight, with forceps or a glove']
        : [
            'An empty vessel',
            ...(task.steps.some((step) => step.do === 'add') ? ['Water', 'A pipette'] : []),
          ],
    own,
  };
}
