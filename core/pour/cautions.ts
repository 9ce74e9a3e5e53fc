import type { Step } from '../formula/types.ts';
import { nextLine, type PourState } from './state.ts';

/** Something the hand needs to be told once in a batch. `key` is its identity in the record. */
export interface Caution {
  readonly key: string;
  readonly text: string;
}

/** A caution of the material about the same danger stands for the general one. */
const keyOf = (step: Step, text: string): string => {
  if (/flame/i.test(text)) return 'flame';
  return /glove/i.test(text) ? 'gloves' : `${step.lot}: ${text}`;
};

/** What holds for the bottle of a step, the most pressing first (common practice, no source). */
export function cautionsFor(step: Step): Caution[] {
  const burns = step.kind === 'solvent' && /ethanol|alcohol/i.test(`${step.material} ${step.title}`);
  const all = [
    ...step.cautions.map((text) => ({ key: keyOf(step, text), text })),
    ...(step.kind === 'neat' ? [{ key: 'gloves', text: 'Gloves on: this one is neat.' }] : []),
    ...(burns ? [{ key: 'flame', text: 'No flame and no spark near ethanol. Air the room.' }] : []),
    {
      key: 'pipette',
      text: 'A fresh pipette for each line; the used one in the bin, away from the clean ones.',
    },
    { key: 'lid', text: 'Lid back on the same bottle before the next is opened.' },
  ];
  return all.filter(({ key }, at) => all.findIndex((one) => one.key === key) === at);
}

/** What has not been heeded yet of what the next bottle asks for; none in any other moment. */
export function cautionsDue(state: PourState): Caution[] {
  if (state.phase !== 'bottle') return [];
  const step = nextLine(state)?.step;
  if (step === undefined) return [];
  return cautionsFor(step).filter(({ key }) => !state.heeded.includes(key));
}
