import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { ask, askReply } from './host.ts';
import { course } from './practice.ts';

/** Learners and classes; null until the host has told. */
export const learners = signal<Output<'practice.learners'> | null>(null);
export const newLearner = signal('');
export const newClass = signal('');
/** The class that is looked at, by its id; "" for everyone. */
export const classShown = signal('');
/** What is wrong with a name that was typed. */
export const nameTrouble = signal<{ readonly of: 'learner' | 'class'; readonly trouble: Trouble } | null>(
  null,
);

export async function fetchLearners(): Promise<void> {
  const told = await ask('practice.learners', {});
  if (told === null) return;
  learners.value = told;
  if (!told.classes.some((one) => one.id === classShown.value)) classShown.value = '';
}

/** Says who is learning at this bench. */
export async function chooseLearner(id: string): Promise<void> {
  const told = await ask('practice.learner-choose', { id });
  if (told !== null) course.value = told;
  await fetchLearners();
}

/** Whose name is being put right, by id; null while a new learner is typed. */
export const renaming = signal<string | null>(null);

/** Puts a learner's name into the field, to be put right there. */
export function beginRename(id: string, name: string): void {
  renaming.value = id;
  newLearner.value = name;
  nameTrouble.value = null;
}

async function rename(id: string): Promise<void> {
  const reply = await askReply('practice.learner-rename', { id, name: newLearner.value });
  nameTrouble.value = reply.ok ? null : { of: 'learner', trouble: reply.trouble };
  if (!reply.ok) return;
  renaming.value = null;
  newLearner.value = '';
  await fetchLearners();
}

/** Adds a learner, who is then the one learning at this bench; or keeps the name that is being put right. */
export async function addLearner(): Promise<void> {
  if (renaming.value !== null) return rename(renaming.value);
  const reply = await askReply('practice.learner-add', { name: newLearner.value });
  nameTrouble.value = reply.ok ? null : { of: 'learner', trouble: reply.trouble };
  if (!reply.ok) return;
  newLearner.value = '';
  await chooseLearner(reply.value.id);
}

export async function addClass(): Promise<void> {
  const reply = await askReply('practice.class-save', { name: newClass.value, learners: [] });
  nameTrouble.value = reply.ok ? null : { of: 'class', trouble: reply.trouble };
  if (!reply.ok) return;
  newClass.value = '';
  await fetchLearners();
}

/** Puts a learner into a class, or takes one out. */
export async function setInClass(id: string, learner: string, inside: boolean): Promise<void> {
  const found = learners.value?.classes.find((one) => one.id === id);
  if (found === undefined) return;
  const others = found.learners.filter((one) => one !== learner);
  await ask('practice.class-save', { ...found, learners: inside ? [...others, learner] : others });
  await fetchLearners();
}

export async function removeClass(id: string): Promise<void> {
  await ask('practice.class-remove', { id });
  await fetchLearners();
}

/** Where the last paper went, in words. */
export const paperSaid = signal('');
export type PaperFile = Output<'practice.paper'>;

/** Course sheet or certificate: by the desktop's own dialog where there is one, else through `download`. */
export async function handPaper(
  learner: string,
  kind: 'sheet' | 'certificate',
  download: (file: PaperFile) => void,
): Promise<void> {
  paperSaid.value = '';
  const able = await ask('app.capabilities', {});
  if (able?.saveDialog === true) {
    const saved = await ask('practice.paper-save', { learner, kind });
    if (saved !== null) paperSaid.value = saved.path === null ? 'Not written.' : `Written to ${saved.path}`;
    return;
  }
  const file = await ask('practice.paper', { learner, kind });
  if (file === null) return;
  download(file);
  paperSaid.value = `Handed to the browser as ${file.name}`;
}
