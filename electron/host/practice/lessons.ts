import { COURSE, lessonOf } from '../../../core/practice/course.ts';
import { type ExerciseFile, lessonOfFile, readExercise } from '../../../core/practice/exercise-file.ts';
import type { Lesson } from '../../../core/practice/lesson.ts';
import type { Learning } from '../store/learning.ts';
import { HostTrouble } from '../trouble.ts';

/** The exercises that teachers made or took in. */
export const ownExercises = (learning: Learning): { id: string; file: ExerciseFile }[] =>
  learning.exercises().map(({ id, body }) => ({ id, file: readExercise(body) }));

export const ownLessons = (learning: Learning): Lesson[] =>
  ownExercises(learning).map(({ id, file }) => lessonOfFile(id, file));

/** Every lesson: of the course, then those of teachers. */
export const allLessons = (learning: Learning): Lesson[] => [...COURSE, ...ownLessons(learning)];

/** @throws HostTrouble when there is no such lesson */
export function expectLesson(learning: Learning, id: string): Lesson {
  const found = lessonOf(id) ?? ownLessons(learning).find((one) => one.id === id);
  if (found !== undefined) return found;
  throw new HostTrouble(`There is no lesson "${id}".`, 'Practice', 'Choose one from the course.');
}
