import { effect, signal } from '@preact/signals';
import type { Input, Output } from '../../electron/host/table.ts';
import { live } from './bench.ts';
import { ask, benchId } from './host.ts';

export type CareView = Output<'care.view'>;
export type Profile = CareView['profile'];
export type RunView = NonNullable<Output<'care.run'>>;
export type CheckOrder = Input<'care.begin'>;
export type CheckKind = CheckOrder['kind'];
export type HistoryRow = Output<'care.history'>[number];
export type WeightClass = NonNullable<Profile['weight']>['weightClass'];

/** The balance on this bench: what is known of it, and how it stood when it was last checked. */
export const care = signal<CareView | null>(null);
/** Its checks, the latest first. */
export const history = signal<readonly HistoryRow[]>([]);
/** The check under way on this bench, or one that has just ended. */
export const run = signal<RunView | null>(null);
/** What the profile was kept as is said once. */
export const kept = signal(false);
/** The document that is being made, and where the last one went. */
export const making = signal<'pdf' | 'csv' | null>(null);
export const handedOver = signal<string | null>(null);

export async function fetchCare(): Promise<void> {
  const told = await ask('care.view', {});
  if (told !== null) care.value = told;
}

export async function fetchHistory(): Promise<void> {
  const told = await ask('care.history', {});
  if (told !== null) history.value = told;
}

export async function fetchRun(): Promise<void> {
  run.value = await ask('care.run', {});
}

/** Everything of this bench's balance that the care leaf shows. */
export async function fetchAll(): Promise<void> {
  kept.value = false;
  handedOver.value = null;
  await Promise.all([fetchRun(), fetchCare(), fetchHistory()]);
}

export async function keepProfile(profile: Profile): Promise<void> {
  kept.value = false;
  const told = await ask('care.keep', profile);
  if (told === null) return;
  care.value = told;
  kept.value = true;
}

export async function begin(order: CheckOrder): Promise<void> {
  const told = await ask('care.begin', order);
  // Refused: perhaps because one is under way that was begun in another window.
  if (told === null) await fetchRun();
  else run.value = told;
}

type Doing = Input<'care.do'>['do'];
/** What is on its way: a bouncing pedal does not send it twice. */
let sent: Doing | null = null;

export async function act(what: Doing): Promise<void> {
  if (sent === what) return;
  sent = what;
  try {
    run.value = await ask('care.do', { do: what });
    if (what === 'leave' || what === 'stop' || run.value?.result != null)
      await Promise.all([fetchCare(), fetchHistory()]);
  } finally {
    sent = null;
  }
}

/** Does what a key means for the check under way. @returns whether it meant anything */
export function actByKey(name: string): boolean {
  const meant = run.value?.actions.find((one) => one.key === name && one.enabled);
  if (meant === undefined) return false;
  void act(meant.do);
  return true;
}

let asking = false;

/** A reading may have moved the check on: it is asked for anew with every one, one question at a time. */
async function look(): Promise<void> {
  if (asking) return;
  asking = true;
  const told = await ask('care.run', {});
  const ended = run.value?.result === null && told?.result != null;
  run.value = told;
  asking = false;
  if (ended) await Promise.all([fetchCare(), fetchHistory()]);
}

/** Follows the check under way for as long as the leaf is there; the returned function ends it. */
export function follow(): () => void {
  return effect(() => {
    const { at, link } = live.value;
    const phase = run.peek()?.phase;
    if (at >= 0 && link !== undefined && phase !== undefined && phase !== 'done' && phase !== 'stopped')
      void look();
  });
}

/** Puts a weight on the simulated pan, or takes it off. */
export const weight = (g: string | null, place: Input<'care.weight'>['place']): Promise<unknown> =>
  ask('care.weight', { g, ...(place === undefined ? {} : { place }) });

/** The simulated balance is adjusted wrongly, so that a check fails; shown at once, and as it is where that was refused. */
export async function adjustWrongly(on: boolean): Promise<void> {
  const before = care.value;
  if (before !== null) care.value = { ...before, simulatedWrong: on };
  care.value = (await ask('care.wrong', { on })) ?? before;
}

/** Hands the checks over: by the desktop's own dialog where there is one, else through `download`. */
export async function handOver(
  kind: 'pdf' | 'csv',
  download: (file: Output<'care.document'>) => void,
): Promise<void> {
  if (making.value !== null) return;
  making.value = kind;
  handedOver.value = null;
  try {
    const able = await ask('app.capabilities', {});
    if (able === null) return;
    if (able.saveDialog) {
      const saved = await ask('care.document-save', { kind });
      if (saved !== null)
        handedOver.value = saved.path === null ? 'Not written.' : `Written to ${saved.path}`;
      return;
    }
    const file = await ask('care.document', { kind });
    if (file === null) return;
    download(file);
    handedOver.value = `Handed to the browser as ${file.name}`;
  } finally {
    making.value = null;
  }
}

// At another bench everything is asked anew: it has a balance of its own.
benchId.subscribe(() => {
  care.value = null;
  history.value = [];
  run.value = null;
});
