import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import { fetchWorkshop } from './first-run.ts';
import { giveOut } from './giving-out.ts';
import { ask, askReply } from './host.ts';
import { send } from './upload.ts';
import { fetchFormulas, fetchShelves } from './workshop.ts';

type View = Output<'archive.read'>;
export type Choice = View['items'][number]['choices'][number];
type HandOut = Input<'hand-out.document'>;
export type HandedFile = Output<'hand-out.document'>;

/** The archive that was opened, beside the workshop. */
export const archive = signal<View | null>(null);
const file = signal<string | null>(null);
/** What was chosen for things that differ, by their id. */
export const choices = signal<Readonly<Record<string, Choice>>>({});
export const archiveTrouble = signal<Trouble | null>(null);
/** What was done with the last archive, in sentences. */
export const archiveDone = signal<readonly string[] | null>(null);
export const archiveBusy = signal(false);

/** Sends an archive to the host and has it compared with the workshop. */
export async function openArchive(given: File): Promise<void> {
  archiveBusy.value = true;
  archive.value = null;
  archiveDone.value = null;
  archiveTrouble.value = null;
  choices.value = {};
  file.value = await send(given.name, new Uint8Array(await given.arrayBuffer()));
  if (file.value !== null) {
    const reply = await askReply('archive.read', { file: file.value });
    if (reply.ok) archive.value = reply.value;
    else archiveTrouble.value = reply.trouble;
  }
  archiveBusy.value = false;
}

export function choose(id: string, choice: Choice): void {
  choices.value = { ...choices.value, [id]: choice };
}

/** Takes the archive into the workshop. */
export async function takeArchive(): Promise<void> {
  const id = file.value;
  if (id === null || archiveBusy.value) return;
  archiveBusy.value = true;
  const reply = await askReply('archive.take', { file: id, choices: { ...choices.value } });
  archiveBusy.value = false;
  archiveTrouble.value = reply.ok ? null : reply.trouble;
  if (!reply.ok) return;
  archiveDone.value = reply.value.done;
  putArchiveAway();
  await Promise.all([fetchWorkshop(), fetchShelves(), fetchFormulas()]);
}

/** Puts the archive away without taking it. */
export function putArchiveAway(): void {
  archive.value = null;
  file.value = null;
}

/** What is being made to be handed out. */
export const handingOut = signal(false);
/** Where the last of it went, in words. */
export const wentTo = signal('');

/** Hands something out of the workshop: by the desktop's dialog where there is one, else through `download`. */
export async function handOut(asked: HandOut, download: (given: HandedFile) => void): Promise<void> {
  if (handingOut.value) return;
  handingOut.value = true;
  wentTo.value = '';
  try {
    const text = await giveOut(
      { file: () => ask('hand-out.document', asked), save: () => ask('hand-out.save', asked) },
      download,
    );
    wentTo.value = text ?? '';
  } finally {
    handingOut.value = false;
  }
}
