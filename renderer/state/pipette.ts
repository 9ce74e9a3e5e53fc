import { signal } from '@preact/signals';
import { ask } from './host.ts';

/** The pipette of the simulated balance is being squeezed. */
export const squeezing = signal(false);

export const dropOne = (): Promise<unknown> => ask('pipette.drop', { count: 1 });

/** Squeezes the pipette or lets it go; a stream runs while it is squeezed. */
export async function squeeze(on: boolean): Promise<void> {
  if (squeezing.value === on) return;
  squeezing.value = on;
  const told = await ask('pipette.squeeze', { on });
  if (told === null) squeezing.value = false;
}

export const vessel = (on: boolean): Promise<unknown> => ask('pipette.vessel', { on });
