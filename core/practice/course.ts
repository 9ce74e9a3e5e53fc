import { EXERCISE_LESSONS } from './course-exercises.ts';
import { POUR_LESSONS } from './course-pours.ts';
import type { Lesson } from './lesson.ts';

const ORDER = [
  'level-and-zero',
  'settled-figure',
  'one-drop',
  'tare-and-gross',
  'one-gram',
  'stop-in-time',
  'small-amount',
  'ten-per-cent',
  'clean-bench',
  'overpour',
  'draughty-bench',
  'check-weight',
  'accord',
];

/** The lessons of the course, in the order they are best taken. */
export const COURSE: readonly Lesson[] = [...EXERCISE_LESSONS, ...POUR_LESSONS].sort(
  (a, b) => ORDER.indexOf(a.id) - ORDER.indexOf(b.id),
);

/** The lesson of the course with this id; null when it has none. */
export const lessonOf = (id: string): Lesson | null => COURSE.find((one) => one.id === id) ?? null;
