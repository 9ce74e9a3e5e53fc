import { randomUUID } from 'node:crypto';
import { stepNow } from '../../../core/practice/exercise.ts';
import { type ExerciseFile, exerciseFrom, readExercise } from '../../../core/practice/exercise-file.ts';
import { decimal, isDecimalText } from '../../../core/quantity/decimal.ts';
import type { Place } from '../benches.ts';
import { formulaOf } from '../formulas.ts';
import type { Rooms } from '../rooms.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { ownExercises } from './lessons.ts';
import type { Practising } from './practising.ts';

/** One bench as a teacher sees it: who, what, where in it, and what the balance shows. */
function benchRow(practising: Practising, { id, bench }: Place): Output<'practice.benches'>[number] {
  const { run, bench: practice } = practising.at(id);
  const learner = run?.learner ?? practising.learnerAt(id);
  const classes = practising.learning.classes().filter((one) => one.learners.includes(learner?.id ?? ''));
  const { live, pour } = (run === null ? bench : practice).view();
  const step = run?.exercise == null ? null : stepNow(run.exercise);
  const line = pour?.phase === 'vessel' ? 'Empty vessel' : (pour?.now?.title ?? pour?.next?.title ?? null);
  const where =
    run === null
      ? pour === null
        ? null
        : `a batch of the workshop: ${pour.name}`
      : (step?.says ?? (line === null ? (pour?.word ?? null) : `${line}: ${pour?.word ?? ''}`));
  return {
    bench: id,
    learner: learner?.name ?? null,
    classes: classes.map((one) => one.id),
    lesson: run?.lesson.title ?? null,
    step: where,
    figure: live.figure === null ? null : `${live.figure} ${live.unit}`,
    settled: !live.moving,
    state:
      run === null
        ? 'no lesson'
        : run.done
          ? 'done'
          : pour?.state === 'over'
            ? 'over'
            : live.link === 'live'
              ? live.moving
                ? 'moving'
                : 'settled'
              : live.link,
    since: run === null ? null : new Date(run.began).toISOString(),
  };
}

/** A share typed as a fraction, or as per cent. @throws HostTrouble when it is none between 0 and 0.5 */
function toleranceOf(text: string): string {
  const given = text.trim().replace(',', '.');
  if (!isDecimalText(given) || !decimal(given).gt(0) || !decimal(given).lt('0.5'))
    throw new HostTrouble(`"${text}" is no tolerance.`, 'tolerance', 'Type a fraction such as 0.02 for 2 %.');
  return given;
}

function made({ practising, store }: Rooms, draft: Input<'practice.exercise-save'>): { id: string } {
  const { formula: id, tolerance, batch, ...order } = draft;
  const grams = batch.trim().replace(',', '.');
  if (!isDecimalText(grams))
    throw new HostTrouble(`"${batch}" is no mass.`, 'batch', 'Type grams, as in 10.');
  const workshop = store.workshop.read();
  const formula = { ...formulaOf(workshop, id, grams), tolerance: toleranceOf(tolerance) };
  return kept(practising, exerciseFrom({ ...order, formula }, workshop.materials, workshop.lots));
}

function kept({ learning }: Practising, file: ExerciseFile): { id: string } {
  const id = `own-${randomUUID()}`;
  learning.putExercise(id, `${JSON.stringify(file, null, 2)}\n`);
  return { id };
}

const plainName = (title: string): string =>
  title
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60) || 'exercise';

/** What a teacher asks for: benches at a glance, exercises of their own, and their files. */
export function teacherHandlers(rooms: Rooms) {
  const { practising, benches } = rooms;
  return {
    'practice.benches': () => benches.all.map((place) => benchRow(practising, place)),
    'practice.exercise-save': (draft: Input<'practice.exercise-save'>) => made(rooms, draft),
    'practice.exercise-remove': ({ id }: Input<'practice.exercise-remove'>) => {
      practising.learning.removeExercise(id);
      return {};
    },
    'practice.exercise-file': ({ id }: Input<'practice.exercise-file'>) => {
      const found = ownExercises(practising.learning).find((one) => one.id === id);
      if (found === undefined)
        throw new HostTrouble('There is no such exercise.', 'Practice', 'Choose one from the list.');
      const text = `${JSON.stringify(found.file, null, 2)}\n`;
      return {
        name: `${plainName(found.file.title)}.exercise.json`,
        type: 'application/json',
        base64: Buffer.from(text, 'utf8').toString('base64'),
      };
    },
    'practice.exercise-take': ({ text }: Input<'practice.exercise-take'>) =>
      kept(practising, readExercise(text)),
  };
}
