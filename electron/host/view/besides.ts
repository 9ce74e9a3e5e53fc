import { cautionsDue } from '../../../core/pour/cautions.ts';
import type { ClosingValues, PourState } from '../../../core/pour/state.ts';
import { fixed, plain } from '../../../core/quantity/decimal.ts';
import type { Live } from '../bench-facts.ts';
import type { PourView } from '../table.ts';
import { shown } from './figures.ts';
import type { Face } from './moments.ts';

type Notice = NonNullable<PourView['notice']>;

/** Words that end as a sentence does. */
export const sentence = (words: string): string => (/[.!?]$/.test(words) ? words : `${words}.`);

/** 15 minutes in each hour (common practice, no source). */
export const BREAK_DUE: Notice = {
  level: 'info',
  text: 'Break due: 15 minutes away from the bench, the nose rests. Pause when this line is in.',
};

/** The balance says something that is no weight: what, and what to do about it. */
export function balanceNotice({ range, message, reading }: Live): Notice | null {
  if (range === 'over')
    return {
      level: 'stop',
      text: 'Too heavy for the balance. Take off what lies on the pan beside the vessel; nothing is captured meanwhile.',
    };
  if (range === 'under')
    return {
      level: 'stop',
      text: 'Below the balance’s range: is the pan in place? Nothing is captured meanwhile.',
    };
  if (message === null) return null;
  if (reading === null)
    return {
      level: 'stop',
      text: `No weight on the display: ${message}. Switch it back to grams; nothing is captured meanwhile.`,
    };
  return {
    level: 'caution',
    text: `The balance: ${message}. Nothing is taken from that line; if it comes again, look at the display and the cable.`,
  };
}

/** While the pour is paused no cue is given: nothing is captured. */
export const pausedFace = (face: Face): Face => ({
  ...face,
  word: 'paused',
  hint: 'Nothing is captured until you resume.',
});

/** The vessel is off, or the gross is not what was left: what happened and what to do. */
export function awayNotice(state: PourState): Notice | null {
  if (state.lifted !== null)
    return {
      level: 'stop',
      text: `The vessel is off the balance. Put it back in the middle of the pan; ${plain(state.lifted)} g was read before. Nothing is captured until then.`,
    };
  if (state.doubt !== null && state.paused === null)
    return {
      level: 'caution',
      text: `Not as it was left: ${state.doubt}. ${state.inHand === null ? 'If nothing was poured, read it anew.' : 'If something was poured, keep it as it is; if not, read it anew.'}`,
    };
  return null;
}

/** The last thing that was seen in the readings, until the next pour. */
export function saidNotice({ said }: PourState): Notice | null {
  if (said === null) return null;
  switch (said.what) {
    case 'returned':
      return { level: 'info', text: `The vessel is back, at ${said.detail} g. Go on where you were.` };
    case 're-zeroed':
      return {
        level: 'info',
        text: 'The display was zeroed by hand. It is counted from there; go on where you were.',
      };
    case 'knock':
      return {
        level: 'info',
        text: 'Vessel or pan was touched; the reading came back. Hands away from the pan.',
      };
    case 'overload':
      return {
        level: 'caution',
        text: 'The balance was out of its range. Nothing was captured meanwhile; go on when it rests.',
      };
    case 'not a weight':
      return {
        level: 'caution',
        text: `The balance showed no weight: ${said.detail}. Nothing was captured meanwhile.`,
      };
    case 'voided':
      return {
        level: 'info',
        text: `Voided: ${sentence(said.detail)} The line is read again from where it began, as the vessel stands.`,
      };
    case 'other':
      return { level: 'caution', text: `Look at the display: ${said.detail}.` };
  }
}

const passed = (passes: boolean): string => (passes ? 'within' : 'FLAGGED, beyond');

/** The closing check: lift the vessel, then close. */
export function checkFace(state: PourState, closing: ClosingValues, figure: string | null): Face {
  const { pan, passes, limit, closure } = closing;
  const most = fixed(limit, 3);
  const sum = `Closure ${shown(closure, state)} g, ${passed(passes)} ${most} g.`;
  return {
    figure: figure ?? '–',
    figureUnit: figure === null ? '' : pan === null ? 'g on the balance' : 'g, empty pan',
    word: pan === null ? 'lift it' : pan.passes && passes ? 'checked' : 'flagged',
    hint:
      pan === null
        ? `${sum} Lift the vessel off the pan, hands away.`
        : `${sum} Empty pan ${shown(pan.read, state)} g where ${shown(pan.expected, state)} g was, ${passed(pan.passes)} ${most} g. Close the batch.`,
    state: pan === null ? 'none' : pan.passes && passes ? 'inside' : 'over',
    solid: pan !== null,
  };
}

/** Cautions of the next bottle, and the values of the closing check. */
export function besides(state: PourState): Pick<PourView, 'cautions' | 'cautionsRequired' | 'check'> {
  const { closing } = state;
  const mass = (value: ClosingValues['closure']): string => shown(value, state);
  return {
    cautions: cautionsDue(state),
    cautionsRequired: state.facts.cautions === 'required',
    check: closing && {
      closure: mass(closing.closure),
      limit: fixed(closing.limit, 4),
      passes: closing.passes,
      pan: closing.pan && {
        read: mass(closing.pan.read),
        expected: mass(closing.pan.expected),
        passes: closing.pan.passes,
      },
    },
  };
}
