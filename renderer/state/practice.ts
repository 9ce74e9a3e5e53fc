import { computed, signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';
import { fragmentOf, route } from './route.ts';

export type CourseView = Output<'practice.course'>;
export type LessonPage = Output<'practice.lesson'>;
export type Feedback = Output<'practice.attempt'>;

/** The course as it stands for whoever is learning at this bench; null until the host has told. */
export const course = signal<CourseView | null>(null);
/** The lesson whose page is open. */
export const page = signal<LessonPage | null>(null);
/** The feedback that is open: on an attempt, or on a batch of the workshop. */
export const feedback = signal<Feedback | null>(null);

/** What the address names within Practice: "lesson:one-drop" is the leaf "lesson" of "one-drop". */
export const leaf = computed(() => {
  const text = route.value.screen === 'practice' ? (route.value.item ?? '') : '';
  const colon = text.indexOf(':');
  return colon < 0 ? { name: text, of: '' } : { name: text.slice(0, colon), of: text.slice(colon + 1) };
});

/** The address of a leaf of Practice. */
export const practiceHref = (name: string, of?: string): string =>
  name === '' ? fragmentOf('practice') : fragmentOf('practice', of === undefined ? name : `${name}:${of}`);

export function goToLeaf(name: string, of?: string): void {
  location.hash = practiceHref(name, of);
}

export async function fetchCourse(): Promise<void> {
  const told = await ask('practice.course', {});
  if (told !== null) course.value = told;
}

export async function openLesson(lesson: string): Promise<void> {
  if (page.value?.id !== lesson) page.value = null;
  const told = await ask('practice.lesson', { lesson });
  if (told !== null) page.value = told;
}

export async function openAttempt(n: number): Promise<void> {
  if (feedback.value?.n !== n) feedback.value = null;
  const told = await ask('practice.attempt', { n });
  if (told !== null) feedback.value = told;
}

/** A batch of the workshop, looked at by the same rules. */
export async function openReview(batch: string): Promise<void> {
  feedback.value = null;
  const told = await ask('practice.review', { batch });
  if (told !== null) feedback.value = told;
}
