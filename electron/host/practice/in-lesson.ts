import type { BenchView, Input } from '../table.ts';
import type { LessonRun } from './run.ts';

/** What a lesson has no use for: its bottles are all there, and it is broken off rather than abandoned. */
export const NOT_IN_LESSONS: ReadonlySet<Input<'pour.do'>['do']> = new Set(['add-line', 'abandon']);

/** The bench as a lesson shows it. Where bottles are taken from the shelf, none is confirmed by eye. */
export function inLesson(view: BenchView, run: LessonRun | null): BenchView {
  if (run === null || view.pour === null) return view;
  const { task } = run.lesson;
  const byShelf = task.engine === 'pour' && task.shelf !== undefined;
  const actions = view.pour.actions.filter(
    (one) => !NOT_IN_LESSONS.has(one.do) && !(byShelf && one.do === 'confirm-bottle'),
  );
  return { ...view, pour: { ...view.pour, actions } };
}
