import {
  type LineState,
  lastPour,
  lineOf,
  type PourState,
  type Withdrawing,
} from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { type Decimal, decimal } from '../../../core/quantity/decimal.ts';
import type { Guidance } from '../../../core/weighing/guidance.ts';
import type { Led } from '../hand.ts';
import type { NowStep, PourView } from '../table.ts';
import { dropsIn, enough, inDrops, shown } from './figures.ts';

/** The large figure with its word, its hint and how it is drawn. */
export type Face = Pick<PourView, 'figure' | 'figureUnit' | 'word' | 'hint' | 'state' | 'solid'>;

/** A line is in hand and the balance says nothing: no figure is made up. */
export const NO_READING: Face = {
  figure: '–',
  figureUnit: '',
  word: 'no reading',
  hint: 'Hold the pour until the balance reads again.',
  state: 'none',
  solid: false,
};

/** The vessel is off: what the balance shows is no part of the pour. */
export const liftedFace = (figure: string | null, settled: boolean): Face => ({
  figure: figure ?? '–',
  figureUnit: figure === null ? '' : 'g on the balance',
  word: 'vessel off',
  hint: 'Put the vessel back in the middle of the pan, hands away.',
  state: 'none',
  solid: settled,
});

/** Below this many drops to go the hand pauses and an exact count is given (common practice, no source). */
const PAUSE_AT = 4;

/** `anew`: the batch begins another one again, whose vessel may still stand there. */
export function vesselFace(figure: string | null, settled: boolean, anew: boolean): Face {
  return {
    figure: figure ?? '–',
    figureUnit: figure === null ? '' : 'g on the balance',
    word: settled ? 'settled' : 'vessel',
    hint: anew
      ? 'Begun anew: the old vessel away, a clean empty one in the middle of the pan.'
      : 'Empty vessel in the middle of the pan, hands away.',
    state: 'none',
    solid: settled,
  };
}

/** Before the first bottle: what to fetch. */
export function fetchFace(next: NonNullable<PourView['next']>): Face {
  return {
    figure: next.target,
    figureUnit: next.topUp ? 'g to top up' : 'g to pour',
    word: 'fetch the bottle',
    hint: `Lot ${next.lot}. Fresh pipette.`,
    state: 'none',
    solid: true,
  };
}

/** After a capture, while the next bottle is fetched. */
export function capturedFace(state: PourState): Face | null {
  const pour = lastPour(state);
  if (pour === null) return null;
  const line = lineOf(state, pour.line);
  const word = line.end === 'open' ? 'over' : line.end === 'kept' ? 'kept' : line.end;
  return {
    figure: shown(pour.net, state),
    figureUnit: 'g, settled',
    word,
    hint: 'Lid back on this bottle, pipette in the bin.',
    state: line.end === 'inside' ? 'inside' : 'none',
    solid: true,
  };
}

/** What the cue asks of the hand, in words. */
function cueText({ phase, drops }: Guidance): string {
  switch (phase) {
    case 'stream':
      return 'Pour freely.';
    case 'slow':
      return `Pour slowly, pause at ${PAUSE_AT} drops.`;
    case 'pause':
      return 'Pause. Wait until it settles.';
    case 'count':
      return drops === null ? 'A drop at a time, then wait.' : `Give ${inDrops(drops)}, then wait.`;
    case 'touch-off':
      return 'Less than can be counted is to go: touch the tip to the wall.';
    case 'stop':
      return 'Stop. Wait until it settles.';
  }
}

/** How far this pour is at the moment. */
export interface Progress {
  readonly net: Decimal;
  readonly settled: boolean;
  readonly led: Led | null;
}

function approachHint(state: PourState, toGo: Decimal, { net, settled, led }: Progress): string {
  const cue = led === null ? '' : cueText(led.guidance);
  return settled && net.gt(0) ? `Settled, ${shown(toGo, state)} g to go. ${cue}` : cue;
}

/** While a line is poured: what is to go, or what is too much. */
export function pouringFace(
  state: PourState,
  line: LineState,
  now: NowStep,
  { net, settled, led }: Progress,
): Face {
  const { aim, low, high } = pourWindow(state, line);
  const toGo = aim.minus(net);
  if (line.step.unplanned === true)
    return {
      figure: now.poured,
      figureUnit: settled ? 'g, settled' : 'g poured',
      word: 'unplanned',
      hint: 'As much as the nose wants; let it settle, then keep it.',
      state: 'approach',
      solid: settled,
    };
  if (net.gt(high))
    return {
      figure: shown(net.minus(aim), state),
      figureUnit: 'g over',
      word: settled ? 'over' : 'past the window',
      hint: 'Stop. Wait until it settles.',
      state: 'over',
      solid: settled,
    };
  if (net.gte(low) && net.gt(0))
    return {
      figure: now.poured,
      figureUnit: settled ? 'g, settled' : 'g poured',
      word: 'inside',
      hint: settled ? 'Inside the window.' : 'Stop here, let it settle.',
      state: 'inside',
      solid: settled,
    };
  return {
    figure: shown(toGo, state),
    figureUnit: 'g to go',
    word: now.drops === null ? 'to go' : inDrops(now.drops),
    hint: approachHint(state, toGo, { net, settled, led }),
    state: 'approach',
    solid: settled,
  };
}

/** Past the window and at rest: the excess over the aim. */
export function overFace(state: PourState, line: LineState): Face {
  const excess = line.poured.minus(line.target);
  const drops = dropsIn(excess, line.step.drop, state);
  return {
    figure: shown(excess, state),
    figureUnit: 'g over',
    word: drops === null ? 'over' : inDrops(drops),
    hint: 'Settled, past the window. Choose how to go on.',
    state: 'over',
    solid: true,
  };
}

const HOW_TO_TAKE = {
  unmixed: 'Clean pipette. Take the excess out; it does not go back into the bottle.',
  stirred: 'Stir first, rod out again. Then take it out with a clean pipette.',
};

/** While something is taken out: what is still to go out. */
export function takingFace(state: PourState, drawing: Withdrawing, taken: Decimal, settled: boolean): Face {
  const { from, low, aim, high } = drawing;
  const toGo = aim.minus(taken);
  const drops = from === 'unmixed' ? dropsOfLast(state, toGo) : null;
  if (taken.lt(decimal(state.facts.balance.limits.d).times(-2)))
    return {
      figure: shown(taken.neg(), state),
      figureUnit: 'g came in',
      word: 'more than before',
      hint: 'Something came into the vessel. Take it out again, and what was too much.',
      state: 'over',
      solid: settled,
    };
  if (taken.gte(low))
    return {
      figure: shown(taken, state),
      figureUnit: settled ? 'g taken out, settled' : 'g taken out',
      word: high !== null && taken.gt(high) ? 'past it' : 'enough',
      hint:
        high !== null && taken.gt(high)
          ? 'More than enough is out: the line is poured on afterwards.'
          : 'Enough is out. Pipette away, let it settle.',
      state: high !== null && taken.gt(high) ? 'over' : 'inside',
      solid: settled,
    };
  return {
    figure: enough(toGo, state),
    figureUnit: 'g to take out',
    word: drops === null ? 'to take out' : inDrops(drops),
    hint: HOW_TO_TAKE[from],
    state: 'approach',
    solid: settled,
  };
}

function dropsOfLast(state: PourState, mass: Decimal): number | null {
  const pour = lastPour(state);
  return pour === null ? null : dropsIn(mass, lineOf(state, pour.line).step.drop, state);
}

/** After a withdrawal, while the next bottle is fetched. */
export function takenFace(state: PourState, undrawn: PourState): Face {
  return {
    figure: shown(state.withdrawn.minus(undrawn.withdrawn), state),
    figureUnit: 'g taken out, settled',
    word: 'taken out',
    hint: 'Pipette and what is in it away; nothing goes back into a bottle.',
    state: 'inside',
    solid: true,
  };
}

/** `left`: lines that were skipped, before their first pour or before a top-up. */
export function closingFace(figure: string | null, settled: boolean, left = 0): Face {
  const all =
    left === 0
      ? 'Every line is in.'
      : `${left} ${left === 1 ? 'line' : 'lines'} skipped or short, the rest is in.`;
  return {
    figure: figure ?? '–',
    figureUnit: figure === null ? '' : 'g gross',
    word: 'closing',
    hint: `${all} Stir, rod out and drained. Leave the vessel where it is and close the batch.`,
    state: 'none',
    solid: settled,
  };
}

export function endedFace(figure: string, closed: boolean): Face {
  return {
    figure,
    figureUnit: closed ? 'g in the vessel' : '',
    word: closed ? 'closed' : 'abandoned',
    hint: closed ? 'Label the bottle and the lid.' : 'The record keeps what was poured.',
    state: 'none',
    solid: true,
  };
}
