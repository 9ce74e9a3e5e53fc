import { computed, signal } from '@preact/signals';
import type { ActionView, ChoiceView } from '../../electron/host/table.ts';
import { actions, bench, choices, ended } from './bench.ts';
import { ask, connection } from './host.ts';

/** The command that is on its way. Given again before its answer, as a bouncing pedal does, it is not sent twice. */
let sent: string | null = null;

/** So long after a caution was heeded a pedal confirms nothing, ms: a foot that presses twice meant one thing. */
export const FOOT_RESTS_MS = 700;
/** A caution was heeded just now: the primary of the next step waits. */
export const footRests = signal(false);
let rested: ReturnType<typeof setTimeout> | undefined;

function restFoot(): void {
  clearTimeout(rested);
  footRests.value = true;
  rested = setTimeout(() => {
    footRests.value = false;
  }, FOOT_RESTS_MS);
}

/** The action whose reason is being asked. */
export const reasoning = signal<ActionView | null>(null);

export const primary = computed(() => actions.value.find((one) => one.primary) ?? null);

/** A key as an action names it: the space bar, enter, page down and most pedals all mean the primary. */
export function keyName(key: string): string {
  if (key === ' ' || key === 'Enter' || key === 'PageDown') return 'Space';
  return key.length === 1 ? key.toUpperCase() : key;
}

/** What a key means among these actions and choices; null where it means nothing, or cannot be done now. */
export function meantBy(
  key: string,
  all: readonly ActionView[],
  cards: readonly ChoiceView[],
): ActionView | ChoiceView | null {
  const name = keyName(key);
  const card = cards.find((one) => one.key === name);
  if (card !== undefined) return card.possible ? card : null;
  const action = all.find((one) => one.key === name);
  return action?.enabled === true ? action : null;
}

async function send(input: Parameters<typeof ask<'pour.do'>>[1]): Promise<void> {
  const mark = JSON.stringify(input);
  if (sent === mark) return;
  sent = mark;
  if (input.do === 'heed') restFoot();
  const view = await ask('pour.do', input);
  if (input.do === 'heed') restFoot();
  if (sent === mark) sent = null;
  if (view !== null) bench.value = view;
}

/** Does an action; one that wants a reason asks for it first. */
export function act(action: ActionView): void {
  if (!action.enabled || (action.primary && footRests.value)) return;
  if (action.reason) reasoning.value = action;
  else void send({ do: action.do, ...(action.choice === undefined ? {} : { choice: action.choice }) });
}

/** Does the action whose reason was asked; `lot` where it adds a line from one. */
export function actWith(reason: string, lot: string): void {
  const action = reasoning.value;
  reasoning.value = null;
  if (action !== null) void send({ do: action.do, reason, ...(lot === '' ? {} : { lot }) });
}

export function take(choice: ChoiceView): void {
  if (choice.possible) void send({ do: 'choose', choice: choice.kind });
}

/** Does what a key means on Pour. @returns whether it meant anything */
export function actByKey(key: string): boolean {
  if (ended.value || connection.value !== 'open') return false;
  const meant = meantBy(key, actions.value, choices.value);
  if (meant === null) return false;
  if ('do' in meant) act(meant);
  else take(meant);
  return true;
}

/** Leaves an ended batch, so that the bench is free. */
export async function leave(): Promise<void> {
  const view = await ask('pour.leave', {});
  if (view !== null) bench.value = view;
}
