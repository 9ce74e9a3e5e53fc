import { computed } from '@preact/signals';
import type { PourView } from '../../electron/host/table.ts';
import { pour } from './bench.ts';

/** A step as it is spoken: `step` names it, so that it is said once. */
export interface Saying {
  readonly step: string;
  readonly text: string;
}

type Asked = Pick<PourView, 'batch' | 'phase' | 'paused' | 'next' | 'ladder' | 'now'>;

/** A mass as it is spoken: grams in full. */
const grams = (mass: string): string => `${mass} grams`;

/** A lot's code letter by letter, so that no voice reads it as a word. */
export const spelled = (code: string): string =>
  [...code].filter((one) => /[\p{L}\p{N}]/u.test(one)).join(' ');

/** The step that is asked of the person now; null while one is under way. */
export function sayingOf(view: Asked | null): Saying | null {
  if (view === null || view.paused) return null;
  const done = view.ladder.filter((rung) => rung.place === 'done').length;
  const step = (what: string): string => `${view.batch} ${what} ${done}`;
  if (view.phase === 'vessel') return { step: step('vessel'), text: 'Put the empty vessel on the balance.' };
  if (view.phase === 'closing')
    return { step: step('closing'), text: 'Stir, rod out. Then close the batch.' };
  if (view.phase === 'over')
    return { step: step(`over ${view.now?.poured ?? ''}`), text: 'Past the window. Choose how to go on.' };
  if (view.phase === 'withdrawing') return { step: step('out'), text: 'Take out what is too much.' };
  const { next } = view;
  if (view.phase !== 'bottle' || next === null) return null;
  const much = `${grams(next.target)}${next.topUp ? ' to top up' : ''}`;
  return {
    step: `${view.batch} ${next.lot} ${next.target}`,
    text: [`Next: ${next.title}, lot ${spelled(next.lot)}, ${much}.`, ...next.cautions].join(' '),
  };
}

/** The step asked of the person at this moment. */
export const saying = computed(() => sayingOf(pour.value));
