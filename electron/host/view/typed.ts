import { lineOf, type PourState } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import type { Decimal } from '../../../core/quantity/decimal.ts';
import type { LinkState } from '../../../core/weighing/reading.ts';
import { TYPED_SHAPE } from '../../../drivers/link/typed.ts';
import type { ActionView, ChoiceView } from '../table.ts';
import { shown } from './figures.ts';
import type { Face } from './moments.ts';

/** Whether the figures of this balance are typed: no stream to lead the hand by. */
export const isTyped = (link: LinkState): boolean => link.kind === 'live' && link.shape === TYPED_SHAPE;

/** Whether the balance sends a figure only when its print key is pressed. */
export const isPrinted = (link: LinkState): boolean => link.kind === 'live' && link.byKey === true;

/** Whether figures come one by one, each at rest, and no stream leads the hand. */
export const isAlone = (link: LinkState): boolean => isTyped(link) || isPrinted(link);

/** What the person does for a figure to be taken. */
const taking = (link: LinkState): string =>
  isPrinted(link) ? 'press Print on the balance' : 'type the figure';

/** What to look for on the display, since it cannot be followed from here. */
function lookFor(state: PourState): string | null {
  const window = (at: Decimal, from: Decimal, to: Decimal): string =>
    `${shown(at, state)} g, from ${shown(from, state)} to ${shown(to, state)}`;
  if (state.phase === 'pouring' && state.inHand !== null) {
    const { before, line } = state.inHand;
    const held = lineOf(state, line);
    if (held.step.unplanned === true) return 'Pour as much as you want: it has no target.';
    const { aim, low, high } = pourWindow(state, held);
    const at = window(before.plus(aim), before.plus(low), before.plus(high));
    return `Pour until the display shows ${at}.`;
  }
  if (state.phase === 'withdrawing' && state.withdrawing !== null) {
    const { before, aim } = state.withdrawing;
    return `Take out until the display shows ${shown(before.minus(aim), state)} g.`;
  }
  return null;
}

/** The face of a moment where figures come one by one: hollow until one is there, and the hint says what to do for it. */
export function typedFace(state: PourState, face: Face, link: LinkState, settled: boolean): Face {
  const take = taking(link);
  const aim = lookFor(state);
  if (aim !== null) return { ...face, hint: `${aim} Let it rest, ${isPrinted(link) ? take : 'type it'}.` };
  if (state.phase === 'vessel' && !settled)
    return { ...face, hint: `Empty vessel in the middle of the pan. Let it rest, ${take}.` };
  if (state.phase === 'closing' && !settled)
    return {
      ...face,
      hint: isPrinted(link)
        ? 'Vessel and batch on the pan: let it rest, press Print on the balance, then close.'
        : 'Type what the display shows with vessel and batch, then close.',
    };
  return face;
}

/** A typed figure rests as it is entered: there is nothing to wait for. */
export const typedActions = (actions: readonly ActionView[]): ActionView[] =>
  actions.filter((one) => one.do !== 'settle');

/** Digits belong to the figure, also those a keyboard-wedge balance sends unasked: no card is taken by one. */
export const typedChoices = (cards: readonly ChoiceView[]): ChoiceView[] =>
  cards.map((card) => ({ ...card, key: '' }));
