import { signal } from '@preact/signals';

/** Where a window remembers its own likings; the browser's local storage has this form. */
export interface Memory {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
}

export const SHEETS = ['system', 'light', 'dark'] as const;
export const BUTTONS = ['usual', 'glove'] as const;

export type Sheet = (typeof SHEETS)[number];
export type Buttons = (typeof BUTTONS)[number];

/** Light or dark sheet, or as the system has it. */
export const sheet = signal<Sheet>('system');
/** Height of buttons: 52 px, or 64 px for gloved hands. */
export const buttons = signal<Buttons>('usual');
/** Loudness of sounds, 0 (off) to 100. */
export const volume = signal(50);
/** The next step is spoken, by the browser's own voice. */
export const spoken = signal(false);
/** Name of the person who pours, offered again at the next batch. */
export const operator = signal('');

function oneOf<T extends string>(kept: string | null, all: readonly T[], otherwise: T): T {
  return all.find((one) => one === kept) ?? otherwise;
}

function loudness(kept: string | null): number {
  const given = kept === null || kept === '' ? Number.NaN : Number(kept);
  return given >= 0 && given <= 100 ? given : 50;
}

/** Takes the likings up from a memory and writes every later change there. @returns what stops it */
export function remember(memory: Memory): () => void {
  sheet.value = oneOf(memory.getItem('sheet'), SHEETS, 'system');
  buttons.value = oneOf(memory.getItem('buttons'), BUTTONS, 'usual');
  volume.value = loudness(memory.getItem('volume'));
  spoken.value = memory.getItem('spoken') === 'yes';
  operator.value = memory.getItem('operator') ?? '';
  const stops = [
    sheet.subscribe((value) => memory.setItem('sheet', value)),
    buttons.subscribe((value) => memory.setItem('buttons', value)),
    volume.subscribe((value) => memory.setItem('volume', String(value))),
    spoken.subscribe((value) => memory.setItem('spoken', value ? 'yes' : 'no')),
    operator.subscribe((value) => memory.setItem('operator', value)),
  ];
  return () => {
    for (const stop of stops) stop();
  };
}
