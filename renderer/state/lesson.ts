import { computed, signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { atPractice, fetchBenchRows, goToBench, machineBench, practiceBench } from './benches.ts';
import { putRefusalAway } from './bottle.ts';
import { ask, askReply, benchId } from './host.ts';
import { feedback, fetchCourse, goToLeaf } from './practice.ts';

export type Lesson = NonNullable<Output<'practice.view'>>;

/** The lesson under way at this bench; null where none is. */
export const lesson = signal<Lesson | null>(null);
/** Why the last step was not taken; it stands until the next one is. */
export const refusedStep = signal<Trouble | null>(null);
/** What is typed as an answer. */
export const answer = signal('');
/** Something is on its way to the host: it is not sent twice. */
const sending = signal(false);

export const stepNow = computed(() => lesson.value?.now ?? null);

/** Turns the window to the practice bench beside its own, and back. */
export async function toPracticeBench(): Promise<void> {
  if (!atPractice(benchId.value)) await goToBench(practiceBench(benchId.value));
}

export async function toOwnBench(): Promise<void> {
  if (atPractice(benchId.value)) await goToBench(machineBench(benchId.value));
}

export async function fetchLesson(): Promise<void> {
  lesson.value = await ask('practice.view', {});
}

/** Begins a lesson and goes to its bench. */
export async function beginLesson(id: string, on: 'simulated' | 'bench'): Promise<void> {
  refusedStep.value = null;
  answer.value = '';
  putRefusalAway();
  const told = await ask('practice.begin', { lesson: id, on });
  if (told === null) return;
  lesson.value = told;
  void fetchBenchRows();
  goToLeaf('now');
}

/** Does the present step; what the host refuses is shown beside it. */
export async function doStep(value?: string): Promise<void> {
  const now = stepNow.value;
  if (now === null || sending.value) return;
  sending.value = true;
  const reply = await askReply('practice.do', {
    do: now.does,
    ...(value === undefined ? {} : { value }),
  });
  sending.value = false;
  refusedStep.value = reply.ok ? null : reply.trouble;
  if (!reply.ok) return;
  answer.value = '';
  lesson.value = reply.value;
}

export async function takePipette(): Promise<void> {
  const told = await ask('practice.pipette', {});
  if (told !== null) lesson.value = told;
}

/** The state of the lesson beside the bench: asked again after what the bench itself was told. */
export async function followLesson(): Promise<void> {
  const reply = await askReply('practice.view', {});
  if (reply.ok && reply.value !== null) lesson.value = reply.value;
}

/** Ends the lesson: its feedback is opened. */
export async function finishLesson(): Promise<void> {
  if (sending.value) return;
  sending.value = true;
  const told = await ask('practice.finish', {});
  sending.value = false;
  if (told === null) return;
  lesson.value = null;
  void fetchBenchRows();
  feedback.value = told;
  if (told.n !== null) goToLeaf('attempt', String(told.n));
}

/** What the primary key means at this moment: the present step, unless it wants an answer, or the end. */
export async function goOn(): Promise<void> {
  if (lesson.value === null) return;
  const now = stepNow.value;
  if (now === null) await finishLesson();
  else if (now.does !== 'answer') await doStep();
}

export async function leaveLesson(): Promise<void> {
  if ((await ask('practice.leave', {})) === null) return;
  lesson.value = null;
  void fetchBenchRows();
  await fetchCourse();
  goToLeaf('');
}
