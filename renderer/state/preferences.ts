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
/** Name of the person who pours, offered again at the next batch. */
export const operator = signal('');

function oneOf<T extends string>(kept: string | null, all: readonly T[], otherwise: T): T {
  return all.find((one) => one === kept) ?? otherwise;
}

/** Takes the likings up from a memory and writes every later change there. @returns what stops it */
export function remember(memory: Memory): () => void {
  sheet.value = oneOf(memory.getItem('sheet'), SHEETS, 'system');
  buttons.value = oneOf(memory.getItem('buttons'), BUTTONS, 'usual');
  operator.value = memory.getItem('operator') ?? '';
  const stops = [
    sheet.subscribe((value) => memory.setItem('sheet', value)),
    buttons.subscribe((value) => memory.setItem('buttons', value)),
    operator.subscribe((value) => memory.setItem('operator', value)),
  ];
  return () => {
    for (const stop of stops) stop();
  };
}
