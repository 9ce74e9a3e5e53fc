import { Decimal, decimal } from '../quantity/decimal.ts';
import { factsWith } from './adding.ts';
import type { PourEvent } from './events.ts';
import type { LineState, PourState, Said } from './state.ts';

type Event<T extends PourEvent['type']> = Extract<PourEvent, { type: T }>;

const zero = new Decimal(0);

/** Words of a notice by which the next view tells it. */
const SAID: Readonly<Record<string, Said['what']>> = {
  knock: 'knock',
  overload: 'overload',
  'not a weight': 'not a weight',
  'unit changed': 'other',
  'drops missing': 'other',
  're-zeroed while moving': 'other',
};

/** The notice after a time away; what follows it is in doubt. */
const DIFFERS = 'gross differs after a time away';

function noticed(state: PourState, { what, detail }: Event<'noticed'>): PourState {
  if (what === DIFFERS) return { ...state, doubt: detail };
  const said = SAID[what];
  return said === undefined ? state : { ...state, said: { what: said, detail } };
}

/** The vessel is back: where it weighs other than before, what was in hand is in doubt until a person says. */
function returned(state: PourState, { gross, off }: Event<'vessel-returned'>): PourState {
  const limit = decimal(state.facts.balance.limits.d).times(2);
  const differs = decimal(off).abs().gt(limit);
  const doubt = differs ? `the vessel came back at ${gross} g, ${off} g from what it was` : state.doubt;
  return {
    ...state,
    pausedAt: differs ? state.lifted : state.pausedAt,
    lifted: null,
    doubt,
    said: { what: 'returned', detail: gross },
  };
}

/** The same load at another gross: the pour in hand is counted from there. */
function readAgain(state: PourState, { from, to }: Event<'re-read'>): PourState {
  const by = decimal(to).minus(from);
  const { inHand, withdrawing } = state;
  return {
    ...state,
    gross: decimal(to),
    doubt: null,
    pausedAt: null,
    undrawn: null,
    inHand: inHand && { ...inHand, before: inHand.before.plus(by) },
    withdrawing: withdrawing && { ...withdrawing, before: withdrawing.before.plus(by) },
  };
}

/** A line without a target comes before all that is still to pour. */
function added(state: PourState, { step, lot, materials }: Event<'line-added'>): PourState {
  const line: LineState = { step, target: zero, half: zero, poured: zero, topUp: null, end: 'open' };
  const first = state.lines.findIndex((one) => one.end === 'open');
  const at = first < 0 ? state.lines.length : first;
  return {
    ...state,
    facts: factsWith(state.facts, [lot], materials),
    lines: state.lines.toSpliced(at, 0, line),
    phase: 'bottle',
  };
}

function checked(state: PourState, event: Event<'closing-weighed' | 'pan-checked'>): PourState {
  if (event.type === 'closing-weighed') {
    const { settled, passes } = event;
    const closure = decimal(event.closure);
    return { ...state, closing: { settled, closure, passes, limit: decimal(event.limit), pan: null } };
  }
  if (state.closing === null) return state;
  const pan = { read: decimal(event.pan), expected: decimal(event.expected), passes: event.passes };
  return { ...state, closing: { ...state.closing, pan } };
}

/** The state after something that happened around the pours. */
export function happened(
  state: PourState,
  event: Event<
    | 'noticed'
    | 'vessel-lifted'
    | 'vessel-returned'
    | 're-read'
    | 'line-added'
    | 'caution-heeded'
    | 'closing-weighed'
    | 'pan-checked'
  >,
): PourState {
  switch (event.type) {
    case 'noticed':
      return noticed(state, event);
    case 'vessel-lifted':
      return { ...state, lifted: decimal(event.last), cut: true };
    case 'vessel-returned':
      return returned(state, event);
    case 're-read':
      return readAgain(state, event);
    case 'line-added':
      return added(state, event);
    case 'caution-heeded':
      return { ...state, heeded: [...state.heeded, event.caution] };
    case 'closing-weighed':
    case 'pan-checked':
      return checked(state, event);
  }
}
