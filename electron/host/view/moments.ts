import { type LineState, lastPour, lineOf, type PourState } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import type { Decimal } from '../../../core/quantity/decimal.ts';
import type { NowStep, PourView } from '../table.ts';
import { dropsIn, inDrops, shown } from './figures.ts';

/** The large figure with its word, its hint and how it is drawn. */
export type Face = Pick<PourView, 'figure' | 'figureUnit' | 'word' | 'hint' | 'state' | 'solid'>;

/** Below this many drops to go the hand pauses and an exact count is given (common practice, no source). */
const PAUSE_AT = 4;
const SLOW_AT = 20;

export function vesselFace(figure: string | null, settled: boolean): Face {
  return {
    figure: figure ?? '–',
    figureUnit: figure === null ? '' : 'g on the balance',
    word: settled ? 'settled' : 'vessel',
    hint: 'Empty vessel in the middle of the pan, hands away.',
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

function slowly(drops: number | null): string {
  if (drops === null) return 'Drops are too small to count here: touch off the last ones.';
  if (drops > SLOW_AT) return 'Pour freely, slow down soon.';
  return drops > PAUSE_AT ? `Pour slowly, pause at ${PAUSE_AT}.` : 'Pause. One drop at a time.';
}

/** While a line is poured: what is to go, or what is too much. */
export function pouringFace(
  state: PourState,
  line: LineState,
  now: NowStep,
  net: Decimal,
  settled: boolean,
): Face {
  const { aim, low, high } = pourWindow(state, line);
  const toGo = aim.minus(net);
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
    hint:
      settled && net.gt(0)
        ? `Settled, ${shown(toGo, state)} g to go: pour on, or keep it as it is.`
        : slowly(now.drops),
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

export function closingFace(figure: string | null, settled: boolean): Face {
  return {
    figure: figure ?? '–',
    figureUnit: figure === null ? '' : 'g, vessel and batch',
    word: 'closing',
    hint: 'Every line is in. Leave the vessel where it is and close the batch.',
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
