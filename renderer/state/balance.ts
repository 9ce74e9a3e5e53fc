import { signal } from '@preact/signals';
import type { BalanceChoice, FindingView, Output, Trouble } from '../../electron/host/table.ts';
import { ask, askReply } from './host.ts';

export const ports = signal<Output<'balance.ports'> | null>(null);
export const shapes = signal<Output<'balance.shapes'>>([]);
/** USB scales; null until they were asked for. */
export const scales = signal<Output<'balance.scales'> | null>(null);
/** Why USB scales cannot be listed here. */
export const scalesTrouble = signal<Trouble | null>(null);
/** The choice the host remembers. */
export const chosen = signal<BalanceChoice | null>(null);
/** The host has told the remembered choice: before that nothing is shown as chosen. */
export const chosenTold = signal(false);
/** A choice is being taken up. */
export const choosing = signal(false);
/** How the looking for a balance stands; null until the host has told. */
export const finding = signal<FindingView | null>(null);

/** Choices that the host took, and turns to another bench: what was asked before one of them is out of date after it. */
let turns = 0;

/** While it listens, the host is asked this often how far it is, in ms. */
const LOOK_EVERY = 250;

/** Nothing of another bench's balance stays in sight. */
export function forgetBalance(): void {
  turns++;
  chosen.value = null;
  chosenTold.value = false;
  finding.value = null;
  scales.value = null;
  scalesTrouble.value = null;
}

export async function fetchPorts(): Promise<void> {
  const told = await ask('balance.ports', {});
  if (told !== null) ports.value = told;
}

export async function fetchScales(): Promise<void> {
  const reply = await askReply('balance.scales', {});
  scales.value = reply.ok ? reply.value : null;
  scalesTrouble.value = reply.ok ? null : reply.trouble;
}

/**
 * Ports, shapes, the remembered choice, and a looking that is under way. The system may take long to list its ports:
 * the choice is shown without them, and one that was made meanwhile is not put back to the one before it.
 */
export async function fetchBalances(): Promise<void> {
  await Promise.all([fetchPorts(), fetchShapes(), fetchChosen()]);
}

async function fetchShapes(): Promise<void> {
  const known = await ask('balance.shapes', {});
  if (known !== null) shapes.value = known;
}

async function fetchChosen(): Promise<void> {
  const before = turns;
  const [kept, looking] = await Promise.all([ask('balance.chosen', {}), ask('balance.finding', {})]);
  if (before !== turns) return;
  chosen.value = kept;
  chosenTold.value = true;
  await follow(looking);
}

export async function choose(choice: BalanceChoice): Promise<void> {
  choosing.value = true;
  const told = await ask('balance.choose', choice);
  if (told !== null) {
    turns++;
    await fetchChosen();
  }
  choosing.value = false;
}

let following = false;

/** It listens or asks, and has not ended. */
export const isBusy = (view: FindingView | null): boolean =>
  view?.state === 'listening' || view?.state === 'asking';

/** Shows how the looking stands until it has ended; what was found is then the remembered choice. */
async function follow(first: FindingView | null): Promise<void> {
  if (first !== null) finding.value = first;
  if (following || !isBusy(first)) return;
  following = true;
  try {
    for (let now: FindingView | null = first; isBusy(now); ) {
      await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY));
      now = await ask('balance.finding', {});
      if (now !== null) finding.value = now;
    }
  } finally {
    following = false;
  }
  chosen.value = await ask('balance.chosen', {});
}

/** Looks for the balance by listening, at one port or at all of them; `byKey` while its print key is pressed. */
export async function find(path?: string, byKey = false): Promise<void> {
  await follow(
    await ask('balance.find', {
      ...(path === undefined ? {} : { path }),
      ...(byKey ? { byKey: true as const } : {}),
    }),
  );
}

/** What would be sent to a silent port whose balance has this shape, or any. */
export async function fetchQuestions(shape: string | null): Promise<Output<'balance.questions'>> {
  return (await ask('balance.questions', shape === null ? {} : { shape })) ?? [];
}

/** The person has agreed: these questions are put to the silent port. */
export async function askPort(path: string, shape: string | null): Promise<void> {
  await follow(await ask('balance.ask', { path, ...(shape === null ? {} : { shape }) }));
}

export async function stopFinding(): Promise<void> {
  const told = await ask('balance.stop-finding', {});
  if (told !== null) finding.value = told;
}

export const press = (key: 'tare' | 'zero'): Promise<unknown> => ask('balance.press', { key });
