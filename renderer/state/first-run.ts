import { computed, signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { hasPour } from './bench.ts';
import { ask } from './host.ts';
import { fragmentOf, route } from './route.ts';

type Workshop = Output<'workshop.state'>;

/** How the workshop stands; null until the host has told. */
export const workshop = signal<Workshop | null>(null);
/** The demo is being loaded, or set aside. */
export const beginning = signal(false);

/** The screens that have nothing to show in an empty workshop. */
const BARE = ['pour', 'organ', 'formulas'];

/** The ways on from an empty workshop stand in the place of the screen. */
export const showsWays = computed(() => {
  const { screen, item } = route.value;
  return workshop.value?.empty === true && item === null && BARE.includes(screen) && !hasPour.value;
});

export async function fetchWorkshop(): Promise<void> {
  const told = await ask('workshop.state', {});
  if (told !== null) workshop.value = told;
}

/** An empty workshop is asked about again at every step: something may have come in. */
export const followWorkshop = (): (() => void) =>
  route.subscribe(() => {
    if (workshop.value?.empty === true) void fetchWorkshop();
  });

async function begin(name: 'workshop.demo' | 'workshop.start-empty'): Promise<boolean> {
  if (beginning.value) return false;
  beginning.value = true;
  const told = await ask(name, {});
  beginning.value = false;
  if (told !== null) workshop.value = told;
  return told !== null;
}

/** Loads the demo workshop, takes the simulated balance, and goes to Pour. */
export async function tryDemo(): Promise<void> {
  if (await begin('workshop.demo')) location.hash = fragmentOf('pour');
}

/** Has an empty workshop take the place of the demo at the next start. */
export const startEmpty = (): Promise<boolean> => begin('workshop.start-empty');

/** The demo stays after all. */
export async function keepDemo(): Promise<void> {
  if ((await ask('store.restore-forget', {})) !== null) await fetchWorkshop();
}
