import { Decimal, type DecimalText, decimal, fixed, plain } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';
import { unplannedStep } from './adding.ts';
import {
  atRest,
  confirmLast,
  expectPhase,
  plainLike,
  readability,
  touched,
  vesselLevel,
  wanted,
} from './asking.ts';
import { cautionsDue } from './cautions.ts';
import { choicesOf, chosen } from './choices.ts';
import { type Confirmation, type PourCommand, PourRefusal } from './commands.ts';
import type { Withdrawal } from './correction-withdraw.ts';
import { close, endEarly, onPanEmpty, weighOff } from './ending.ts';
import type { PourEvent } from './events.ts';
import {
  lookAgain,
  mayRevise,
  onJump,
  onReturn,
  pauseOrResume,
  readAnew,
  zeroedByHand,
} from './interruptions.ts';
import { lastPour, lineOf, netTotal, nextLine, type Pour, type PourState, withoutPour } from './state.ts';
import { wasNext } from './unannounced.ts';
import { pourWindow, verdictOf } from './window.ts';
import { endDrawing, onDrawn, reviseDrawn, withdrawalBegun } from './withdrawal.ts';

function weighVessel(state: PourState, settled: Settled | null, tared: boolean): PourEvent[] {
  expectPhase(state, ['vessel'], 'Weighing the vessel');
  const gross = atRest(settled);
  const { capacity } = state.facts.balance.limits;
  const isTared = tared && gross.abs().lte(touched(state));
  if (!isTared && gross.lte(readability(state).times(10)))
    throw new PourRefusal(
      'The display shows no vessel.',
      'Put the empty vessel in the middle of the pan. If it stands there and was tared away, lift it, zero the display, and put it back.',
    );
  if (gross.plus(state.total).gt(decimal(capacity)))
    throw new PourRefusal(
      `Vessel and batch come to ${fixed(gross.plus(state.total), 2)} g; the balance takes ${capacity} g.`,
      'Take a lighter vessel, or a smaller batch.',
    );
  return settled === null ? [] : [{ type: 'vessel-weighed', gross: settled.g, settled }];
}

/** The gross a pour begins at, with what the display did meanwhile. */
function startingGross(
  state: PourState,
  settled: Settled | null,
): { before: DecimalText; events: PourEvent[] } {
  const last = state.gross;
  if (last === null)
    throw new PourRefusal('The vessel has not been weighed.', 'Weigh the empty vessel first.');
  if (settled === null) return { before: plain(last), events: [] };
  const now = decimal(settled.g);
  if (now.minus(last).abs().lte(touched(state))) return { before: settled.g, events: [] };
  if (now.abs().lte(touched(state)))
    return { before: settled.g, events: [{ type: 're-zeroed', from: plain(last), to: settled.g }] };
  const level = vesselLevel(state);
  if (state.doubt !== null && level !== null && now.gte(level.minus(touched(state))) && now.lt(last))
    throw new PourRefusal(
      `The balance reads ${settled.g} g where ${plain(last)} g was left.`,
      'If nothing was taken out, read it anew.',
    );
  if (now.lt(last))
    throw new PourRefusal(
      `The balance reads ${settled.g} g where ${plain(last)} g was left.`,
      'Put the vessel back in the middle of the pan.',
    );
  const detail = `${plain(now.minus(last))} g came onto the balance between two pours`;
  return { before: settled.g, events: [{ type: 'noticed', what: 'mass added between pours', detail }] };
}

function takeBottle(
  state: PourState,
  how: Confirmation,
  lot: string | undefined,
  settled: Settled | null,
): PourEvent[] {
  expectPhase(state, ['bottle'], 'Taking a bottle');
  const line = nextLine(state);
  if (line === null) throw new PourRefusal('No line is left to pour.', 'Close the batch.');
  if (lot !== undefined && lot !== line.step.lot)
    throw new PourRefusal(
      `Wrong bottle: this is lot ${lot}, the step needs lot ${line.step.lot} (${line.step.title}).`,
      'Put it back, and take the bottle the step names.',
    );
  const [due] = state.facts.cautions === 'required' ? cautionsDue(state) : [];
  if (due !== undefined) throw new PourRefusal(due.text, 'Do it, then say so.');
  const { before, events } = startingGross(state, settled);
  return [
    ...confirmLast(state),
    ...events,
    { type: 'pour-begun', line: line.step.line, lot: line.step.lot, confirmed: how, before },
  ];
}

function capture(state: PourState, settled: Settled, underToo: boolean): PourEvent[] {
  const hand = state.inHand;
  if (hand === null) return [];
  const after = decimal(settled.g);
  const net = after.minus(hand.before);
  const line = lineOf(state, hand.line);
  const verdict = verdictOf(state, hand.line, net);
  if (!underToo && (verdict === 'under' || line.step.unplanned === true)) return [];
  /* A step of one or two counts may be drift: by itself only a net that can be the pour is captured. */
  const least = Decimal.min(pourWindow(state, line).aim, readability(state).times(3));
  if (!underToo && net.lt(least)) return [];
  return [
    {
      type: 'captured',
      pour: state.pours.length + 1,
      line: hand.line,
      lot: hand.lot,
      before: plainLike(hand.before, settled.g),
      after: settled.g,
      net: plainLike(net, settled.g),
      verdict,
      settled,
    },
  ];
}

function keepUnder(state: PourState, settled: Settled | null): PourEvent[] {
  expectPhase(state, ['pouring', 'withdrawing'], 'Keeping what is poured');
  if (state.phase === 'withdrawing') return endDrawing(state, settled);
  const after = atRest(settled);
  if (settled === null || state.inHand === null) return [];
  if (after.lte(state.inHand.before))
    throw new PourRefusal('Nothing of this line is in the vessel.', 'Pour, or skip the line.');
  return capture(state, settled, true);
}

/**
 * A captured pour is watched until the next one begins: another settled value that can still be this pour revises it.
 * A reading below where the pour began is a lifted vessel or a re-zeroed display, never a revision.
 */
function revise(state: PourState, pour: Pour, settled: Settled): PourEvent[] {
  const after = decimal(settled.g);
  if (after.eq(pour.after) || after.lte(pour.before)) return [];
  const net = after.minus(pour.before);
  const verdict = verdictOf(withoutPour(state, pour), pour.line, net);
  return [
    {
      type: 'revised',
      pour: pour.pour,
      after: settled.g,
      net: plainLike(net, settled.g),
      verdict,
      settled,
    },
  ];
}

function onSettled(state: PourState, settled: Settled): PourEvent[] {
  if (state.lost !== null) return [];
  if (state.lifted !== null) return onReturn(state, settled);
  if (state.paused !== null) return [];
  if (state.closing !== null) return onPanEmpty(state, settled);
  if (state.doubt !== null) return [];
  if (state.phase === 'pouring') return capture(state, settled, false);
  if (state.phase === 'withdrawing') return onDrawn(state, settled);
  if (state.undrawn !== null) return state.cut ? [] : reviseDrawn(state, settled);
  const pour = lastPour(state);
  const watching = state.phase === 'bottle' || state.phase === 'over' || state.phase === 'closing';
  return watching && pour !== null && mayRevise(state) ? revise(state, pour, settled) : [];
}

function voidLast(state: PourState, reason: string): PourEvent[] {
  expectPhase(state, ['bottle', 'over', 'closing'], 'Voiding a pour');
  const pour = lastPour(state);
  if (pour === null || pour.confirmed)
    throw new PourRefusal(
      'There is no pour that can still be voided.',
      'Only the last pour, until the next one begins. Skip the line, or keep it and note why.',
    );
  return [{ type: 'voided', pour: pour.pour, reason: wanted(reason), gross: plain(pour.before) }];
}

/** A line is skipped only while nothing of it is in the vessel: what is in must be captured. */
function skip(state: PourState, reason: string, settled: Settled | null): PourEvent[] {
  expectPhase(state, ['bottle', 'pouring'], 'Skipping a line');
  const hand = state.inHand;
  if (hand !== null && atRest(settled).minus(hand.before).abs().gt(readability(state)))
    throw new PourRefusal(
      'Something of this line is already in the vessel.',
      'Pour on, or keep what is poured; then the record has it.',
    );
  const line = hand?.line ?? nextLine(state)?.step.line;
  if (line === undefined) throw new PourRefusal('No line is left to skip.', 'Close the batch.');
  return [{ type: 'skipped', line, reason: wanted(reason) }];
}

function draw(state: PourState, withdrawal: Withdrawal | null, why: string): PourEvent[] {
  if (withdrawal === null) throw new PourRefusal(why, 'Take another of the choices.');
  return withdrawalBegun(state, withdrawal);
}

function beginAgain(state: PourState, next: string | undefined): PourEvent[] {
  if (next === undefined)
    throw new PourRefusal('The batch that follows has no name yet.', 'Start it from Formulas.');
  const [limit] = choicesOf(state).again.limits;
  if (limit !== undefined) throw new PourRefusal(limit.text, 'Take another of the choices.');
  const discarded = plain(netTotal(state));
  return [{ type: 'abandoned', reason: 'started again', followedBy: next, discarded }];
}

/** The events of a choice. @throws PourRefusal where it does not apply */
function choose(state: PourState, command: Extract<PourCommand, { type: 'choose' }>): PourEvent[] {
  const choices = choicesOf(state);
  switch (command.choice) {
    case 'exact':
    case 'least':
    case 'keep':
      return [chosen(state, choices[command.choice], null)];
    case 'withdraw-unmixed':
      return draw(
        state,
        choices.withdrawUnmixed,
        'Something else is in the vessel already, or the excess is less than a drop: it cannot be taken out alone.',
      );
    case 'withdraw-least':
    case 'withdraw-exact':
      return draw(
        state,
        command.choice === 'withdraw-least' ? choices.withdrawLeast : choices.withdrawExact,
        'Taking a part of everything out does not help here.',
      );
    case 'bottle-least':
    case 'bottle-exact': {
      const offer = command.choice === 'bottle-least' ? choices.bottleLeast : choices.bottleExact;
      if (offer === null)
        throw new PourRefusal('No other bottle makes this smaller.', 'Take another of the choices.');
      return [chosen(state, offer.correction, offer)];
    }
    case 'again':
      return beginAgain(state, command.next);
  }
}

/** A line that the nose asks for, between two lines or before closing. */
function addLine(state: PourState, command: Extract<PourCommand, { type: 'add-line' }>): PourEvent[] {
  expectPhase(state, ['bottle', 'closing'], 'Adding a line');
  if (state.closing !== null)
    throw new PourRefusal('The closing values are taken.', 'Close the batch; add it in a batch of its own.');
  const { lot, materials, reason } = command;
  const n = state.lines.filter((line) => line.step.unplanned === true).length + 1;
  return [
    { type: 'line-added', step: unplannedStep(lot, materials, n), lot, materials, why: wanted(reason) },
  ];
}

/** Each caution stands in the record once. */
const heeded = (state: PourState, cautions: readonly string[]): PourEvent[] =>
  cautions
    .filter((caution) => !state.heeded.includes(caution))
    .map((caution) => ({ type: 'caution-heeded', caution, line: nextLine(state)?.step.line ?? null }));

function interrupted(
  state: PourState,
  command: Extract<PourCommand, { type: 'jump' | 'was-zeroed' | 'recheck' | 're-read' }>,
): PourEvent[] {
  switch (command.type) {
    case 'jump':
      return onJump(state, command);
    case 'was-zeroed':
      return zeroedByHand(state, command.settled);
    case 'recheck':
      return lookAgain(state, command.settled, command.minutes);
    case 're-read':
      return readAnew(state, command.settled);
  }
}

/** What the balance does around a pour. Nothing of it belongs to a batch that has ended, whose record stands. */
function around(
  state: PourState,
  command: Extract<PourCommand, { type: 'note' | 'balance-lost' | 'balance-back' }>,
): PourEvent[] {
  if (state.phase === 'closed' || state.phase === 'abandoned') return [];
  switch (command.type) {
    case 'note':
      return [{ type: 'noticed', what: command.what, detail: command.detail }];
    case 'balance-lost':
      return state.lost === null ? [{ type: 'balance-lost', why: command.why }] : [];
    case 'balance-back':
      return state.lost === null ? [] : [{ type: 'balance-back' }];
  }
}

/**
 * What follows from a command in this state: the events to store, in order; none where nothing follows.
 * Pure: neither clock nor balance is asked. The rules are those of the pour: running gross, capture only at rest.
 * @throws PourRefusal when the command does not fit; it carries what to do next
 */
export function decide(state: PourState, command: PourCommand): PourEvent[] {
  switch (command.type) {
    case 'settled':
      return onSettled(state, command.settled);
    case 'confirm-vessel':
      return weighVessel(state, command.settled, command.tared === true);
    case 'confirm-bottle':
      return takeBottle(state, command.how, command.lot, command.settled);
    case 'was-next':
      return wasNext(state, command.stood);
    case 'accept-under':
      return keepUnder(state, command.settled);
    case 'choose':
      expectPhase(state, ['over'], 'A correction');
      return [...confirmLast(state), ...choose(state, command)];
    case 'void':
      return voidLast(state, command.reason);
    case 'skip':
      return skip(state, command.reason, command.settled);
    case 'end-early':
      return endEarly(state, command.reason, command.settled);
    case 'add-line':
      return addLine(state, command);
    case 'heed':
      return heeded(state, [command.caution, ...(command.also ?? [])]);
    case 'jump':
    case 'was-zeroed':
    case 'recheck':
    case 're-read':
      return interrupted(state, command);
    case 'weigh-off':
      return weighOff(state, command.settled);
    case 'pause':
    case 'resume':
      return pauseOrResume(state, command);
    case 'note':
    case 'balance-lost':
    case 'balance-back':
      return around(state, command);
    case 'close':
      return close(state, command.settled);
    case 'abandon':
      if (state.phase === 'closed' || state.phase === 'abandoned')
        throw new PourRefusal('The batch has ended already.', 'Open it in Records.');
      return [{ type: 'abandoned', reason: wanted(command.reason) }];
  }
}
