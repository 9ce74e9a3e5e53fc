import { computed, signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { type GivenFile, giveOut } from './giving-out.ts';
import { ask, askReply } from './host.ts';

export type LabelSettings = Output<'labels.settings'>['settings'];
export type LabelLayout = Output<'labels.settings'>['layouts']['bottle'][number];
export type LabelPreview = Output<'labels.preview'>;
export type LabelWhich = 'bottle' | 'lid';
export type LabelPaper = 'labels' | 'test-page';

const ITEM = 'labels';

/** Lots that the address of the leaf names after its colon, such as "LA-33,GE-21". */
export function labelledLots(of: string): string[] {
  return of
    .split(',')
    .filter((code) => code !== '')
    .map((code) => {
      try {
        return decodeURIComponent(code);
      } catch {
        // A percent sign that encodes nothing belongs to the code itself.
        return code;
      }
    });
}

/** The item of an address that opens the labels of these lots. */
export const labelsItem = (codes: readonly string[]): string =>
  codes.length === 0 ? ITEM : `${ITEM}:${codes.map(encodeURIComponent).join(',')}`;

/** Settings and layouts; null until the host has told them. */
export const labelling = signal<Output<'labels.settings'> | null>(null);
/** What will be printed; null while there is nothing to show. */
export const labelPreview = signal<{ readonly lots: string; readonly told: LabelPreview } | null>(null);
/** Why settings were not kept, or nothing can be shown. */
export const labelTrouble = signal<Trouble | null>(null);
/** What is being made, and where the last went: in words, and the address where it can be opened. */
export const labelMaking = signal(false);
export const labelsGone = signal<{ readonly text: string; readonly address: string | null } | null>(null);
/** Lots listed to choose among, and the words they are searched by. */
export const lotWords = signal('');
export const lotsListed = signal<Output<'labels.lots'> | null>(null);
/** The own layout that is being changed; null when none is. */
export const layingOut = signal<LabelLayout | null>(null);

export const anyWanted = computed(
  () => labelling.value?.settings.bottle.on === true || labelling.value?.settings.lid.on === true,
);

const keyOf = (codes: readonly string[]): string => codes.join('\n');

/** Later questions make the answers of earlier ones void. */
let turn = 0;

async function look(codes: readonly string[]): Promise<void> {
  turn += 1;
  const mine = turn;
  if (codes.length === 0 || !anyWanted.value) {
    labelPreview.value = null;
    return;
  }
  const reply = await askReply('labels.preview', { lots: [...codes] });
  if (mine !== turn) return;
  if (reply.ok) labelPreview.value = { lots: keyOf(codes), told: reply.value };
  else {
    labelPreview.value = null;
    labelTrouble.value = reply.trouble;
  }
}

/** Shows the labels of these lots by the settings kept. */
export async function showLabels(codes: readonly string[]): Promise<void> {
  labelTrouble.value = null;
  labelsGone.value = null;
  if (labelPreview.value?.lots !== keyOf(codes)) labelPreview.value = null;
  const told = await ask('labels.settings', {});
  if (told === null) return;
  labelling.value = told;
  await look(codes);
}

/** Settings are kept in the order they were made. */
let keeping: Promise<unknown> = Promise.resolve();

/** Keeps changed settings and shows the labels by them. @returns whether they were kept */
export async function keepLabels(settings: LabelSettings, codes: readonly string[]): Promise<boolean> {
  const now = labelling.value;
  if (now !== null) labelling.value = { ...now, settings };
  const kept = keeping.then(() => askReply('labels.keep', settings));
  keeping = kept;
  const reply = await kept;
  if (!reply.ok) {
    labelTrouble.value = reply.trouble;
    return false;
  }
  labelTrouble.value = null;
  if (labelling.value?.settings === settings) labelling.value = reply.value;
  await look(codes);
  return true;
}

/** Begins a layout of one's own from the one that is chosen; one's own is changed as it is. */
export function beginLayout(from: LabelLayout): void {
  const own = labelling.value?.settings.own.some(({ id }) => id === from.id) === true;
  layingOut.value = own
    ? from
    : { ...from, id: `own-${Date.now()}`, name: `${from.name}, changed`.slice(0, 80) };
}

export function writeLayout(part: Partial<LabelLayout>): void {
  if (layingOut.value !== null) layingOut.value = { ...layingOut.value, ...part };
}

export function leaveLayout(): void {
  layingOut.value = null;
  labelTrouble.value = null;
}

/** Keeps the layout under its name and chooses it; one that cannot be stays in the form. */
export async function keepLayout(codes: readonly string[]): Promise<void> {
  const layout = layingOut.value;
  const now = labelling.value;
  if (layout === null || now === null) return;
  const which: LabelWhich = layout.shape === 'round' ? 'lid' : 'bottle';
  const { settings } = now;
  const kept = await keepLabels(
    {
      ...settings,
      own: [...settings.own.filter(({ id }) => id !== layout.id), layout],
      [which]: { ...settings[which], layout: layout.id, start: 1 },
    },
    codes,
  );
  if (kept) layingOut.value = null;
  else if (labelling.value !== null) labelling.value = { ...labelling.value, settings };
}

const FIRST_LAYOUT = { bottle: 'a4-3x8', lid: 'cut-a4' } as const;

/** Takes an own layout away; where it was chosen the first of its kind is. */
export async function removeLayout(id: string, codes: readonly string[]): Promise<void> {
  const now = labelling.value;
  if (now === null) return;
  const { settings } = now;
  const chosen = (which: LabelWhich) =>
    settings[which].layout === id ? { layout: FIRST_LAYOUT[which], start: 1 } : {};
  layingOut.value = null;
  await keepLabels(
    {
      ...settings,
      own: settings.own.filter((one) => one.id !== id),
      bottle: { ...settings.bottle, ...chosen('bottle') },
      lid: { ...settings.lid, ...chosen('lid') },
    },
    codes,
  );
}

export async function listLots(words: string): Promise<void> {
  lotWords.value = words;
  const told = await ask('labels.lots', { words });
  if (told !== null && lotWords.value === words) lotsListed.value = told;
}

async function making(work: () => Promise<void>): Promise<void> {
  if (labelMaking.value) return;
  labelMaking.value = true;
  labelsGone.value = null;
  try {
    await keeping;
    await work();
  } finally {
    labelMaking.value = false;
  }
}

/** Gives the PDF out as a file. */
export const saveLabels = (
  codes: readonly string[],
  what: LabelPaper,
  download: (file: GivenFile) => void,
): Promise<void> =>
  making(async () => {
    const asked = { lots: [...codes], what };
    const text = await giveOut(
      { file: () => ask('labels.document', asked), save: () => ask('labels.document-save', asked) },
      download,
    );
    if (text !== null) labelsGone.value = { text, address: null };
  });

/** Hands the same PDF to what prints it; `open` opens an address in a tab of its own. */
export const printLabels = (codes: readonly string[], open: (address: string) => void): Promise<void> =>
  making(async () => {
    const told = await ask('labels.print', { lots: [...codes], what: 'labels' });
    if (told === null) return;
    labelsGone.value = { text: told.told, address: told.address };
    if (told.address !== null) open(told.address);
  });
