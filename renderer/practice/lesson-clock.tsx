import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Lesson } from '../state/lesson.ts';

const LOOK_EVERY_MS = 1000;

/** Whole minutes of a lesson with a clock, in words without a hurry: nothing where it has none. */
export function LessonClock({ now: { began, clock } }: { now: Lesson }) {
  const gone = useSignal(0);
  useEffect(() => {
    const look = (): void => {
      gone.value = Math.max(0, Math.floor((Date.now() - Date.parse(began)) / 60_000));
    };
    look();
    const timer = setInterval(look, LOOK_EVERY_MS);
    return () => clearInterval(timer);
  }, [began]);
  if (clock === null) return null;
  return (
    <p class="lesson-clock">
      {gone.value < clock
        ? `${clock - gone.value} of ${clock} minutes left`
        : `the ${clock} minutes are over: finish calmly`}
    </p>
  );
}
