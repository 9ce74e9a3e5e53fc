import { type Choices, choicesOf } from '../../../core/pour/choices.ts';
import {
  type LineState,
  lastPour,
  lineOf,
  netTotal,
  nextLine,
  type PourState,
  type Withdrawing,
  withoutPour,
} from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import type { DropSize } from '../../../core/weighing/drops.ts';
import type { LinkState } from '../../../core/weighing/reading.ts';
import type { SettlingState } from '../../../core/weighing/settling.ts';
import type { Batch, Live } from '../bench-facts.ts';
import type { DropBook } from '../drop-book.ts';
import { type Led, lead, type Movement } from '../hand.ts';
import { strengthOf } from '../strength.ts';
import type { BenchView, LiveView, NowStep, PourView } from '../table.ts';
import { actionsOf } from './actions.ts';
import {
  awayNotice,
  BREAK_DUE,
  balanceNotice,
  besides,
  checkFace,
  pausedFace,
  saidNotice,
  sentence,
} from './besides.ts';
import { choiceViews } from './choices.ts';
import { percent, shown } from './figures.ts';
import { drawStep, ladder, nextBottle, nowStep } from './ladder.ts';
import {
  capturedFace,
  closingFace,
  endedFace,
  type Face,
  fetchFace,
  liftedFace,
  NO_READING,
  overFace,
  pouringFace,
  takenFace,
  takingFace,
  vesselFace,
} from './moments.ts';
import { isAlone, isPrinted, isTyped, typedActions, typedChoices, typedFace } from './typed.ts';

const zero = new Decimal(0);

/** What the way to the balance has to say. */
function saidOf(link: LinkState): string | null {
  switch (link.kind) {
    case 'lost':
      return link.why;
    case 'silent':
      return link.advice;
    case 'live':
      return link.advice ?? null;
    default:
      return null;
  }
}

function liveView(live: Live, settling: SettlingState): LiveView {
  const { link, reading } = live;
  const said = saidOf(link);
  return {
    link: link.kind,
    what: link.kind === 'none' ? 'no balance chosen' : link.what,
    message: said ?? live.message,
    figure: reading?.figure ?? null,
    unit: reading?.unit ?? '',
    g: reading?.g ?? null,
    moving: settling.settled === null,
    typed: isTyped(link),
    printed: isPrinted(link),
    range: live.range,
    at: live.at,
  };
}

/** What is seen of the hand, and what is known of its drops. */
export interface Hand {
  readonly movement: Movement;
  readonly drops: DropBook;
  /** Somebody has been at work for long: said where nothing else is. */
  readonly breakDue?: boolean;
  /** The reading rose since the last capture, and no pour was begun for it. */
  readonly risen?: boolean;
}

/** Guidance and settle mark while a line is poured; null at any other moment. */
function ledBy(state: PourState, live: Live, hand: Hand, settled: boolean): Led | null {
  const inHand = state.inHand;
  if (state.phase !== 'pouring' || inHand === null || live.reading === null || state.lifted !== null)
    return null;
  const line = lineOf(state, inHand.line);
  if (line.step.unplanned === true) return null;
  const { aim, low, high } = pourWindow(state, line);
  const net = netNow(state, live);
  const left = (mass: Decimal): number => mass.minus(net).toNumber();
  return lead(hand.movement, {
    toGo: left(aim),
    low: left(low),
    high: left(high),
    d: Number(state.facts.balance.limits.d),
    drop: hand.drops.of(line.step, state.facts.lots),
    atRest: settled,
    before: inHand.before.toNumber(),
  });
}

/** The settle mark in terms of this pour. */
function settleMark(state: PourState, led: Led | null, line: LineState | null): PourView['willSettle'] {
  const mark = led?.prediction ?? null;
  if (mark === null || state.inHand === null || line === null) return null;
  const poured = new Decimal(mark.g).minus(state.inHand.before);
  return {
    poured: shown(poured, state),
    toGo: shown(pourWindow(state, line).aim.minus(poured), state),
    band: shown(new Decimal(mark.band), state),
  };
}

/** The gross of this moment: the reading, or what was read before the vessel was lifted; null where there is none. */
const grossNow = (state: PourState, live: Live): Decimal | null =>
  state.lifted ?? (live.reading === null ? null : decimal(live.reading.g));

/** Net of the line in hand at this moment; zero where there is none. */
function netNow(state: PourState, live: Live): Decimal {
  const gross = grossNow(state, live);
  return state.inHand === null || gross === null ? zero : gross.minus(state.inHand.before);
}

/** What is out of the vessel at this moment; zero where there is none. */
const takenNow = (state: PourState, { before }: Withdrawing, live: Live): Decimal =>
  before.minus(grossNow(state, live) ?? before);

/** Something was taken out, and the next bottle is not in hand yet. */
const isOut = ({ phase, undrawn }: PourState): boolean => phase === 'bottle' && undrawn !== null;

/** The line that the moment is about: in hand, past its window, just captured, or to be fetched first. */
function presentLine(state: PourState): LineState | null {
  if (state.inHand !== null) return lineOf(state, state.inHand.line);
  const last = lastPour(state);
  if (last !== null && (state.phase === 'over' || state.phase === 'withdrawing'))
    return lineOf(state, last.line);
  const watched = state.phase === 'bottle' || state.phase === 'closing';
  if (watched && last !== null && !last.confirmed) return lineOf(state, last.line);
  if (last !== null && isOut(state)) return lineOf(state, last.line);
  return state.phase === 'bottle' ? nextLine(state) : null;
}

function face(
  state: PourState,
  live: Live,
  settled: boolean,
  view: Pick<PourView, 'now' | 'next'>,
  led: Led | null,
): Face {
  const figure = live.reading === null ? null : shown(decimal(live.reading.g), state);
  const line = presentLine(state);
  if (state.lifted !== null) return liftedFace(figure, settled);
  switch (state.phase) {
    case 'vessel':
      return vesselFace(figure, settled, state.facts.follows !== undefined);
    case 'bottle':
      if (state.undrawn !== null) return takenFace(state, state.undrawn);
      return (lastPour(state)?.confirmed === false ? capturedFace(state) : null) ?? fetched(view);
    case 'pouring':
      if (live.reading === null) return NO_READING;
      return line === null || view.now === null
        ? closingFace(figure, settled)
        : pouringFace(state, line, view.now, { net: netNow(state, live), settled, led });
    case 'over':
      return line === null ? closingFace(figure, settled) : overFace(state, line);
    case 'withdrawing':
      if (live.reading === null) return NO_READING;
      return state.withdrawing === null
        ? closingFace(figure, settled)
        : takingFace(state, state.withdrawing, takenNow(state, state.withdrawing, live), settled);
    case 'closing':
      return state.closing === null
        ? closingFace(figure, settled, state.lines.filter((one) => one.end === 'skipped').length)
        : checkFace(state, state.closing, figure);
    case 'closed':
    case 'abandoned':
      return endedFace(shown(netTotal(state), state), state.phase === 'closed');
  }
}

function fetched(view: Pick<PourView, 'next'>): Face {
  if (view.next === null) return closingFace(null, false);
  return fetchFace(view.next);
}

function notice(
  state: PourState,
  live: Live,
  trouble: string | null,
  breakIsDue: boolean,
): PourView['notice'] {
  if (trouble !== null) return { level: 'stop', text: trouble };
  if (state.lost !== null)
    return {
      level: 'stop',
      text: `Balance lost: ${sentence(state.lost)} Leave the vessel where it is; the pour goes on when it is back.`,
    };
  const said = balanceNotice(live);
  if (said !== null) return said;
  const gone = awayNotice(state);
  if (gone !== null) return gone;
  if (state.paused !== null)
    return { level: 'info', text: `Paused: ${sentence(state.paused)} Keep the vessel covered.` };
  return saidNotice(state) ?? (breakIsDue ? BREAK_DUE : null);
}

/** Something of the line in hand is in the vessel. */
const begunBy = (state: PourState, live: Live): boolean =>
  netNow(state, live).abs().gt(decimal(state.facts.balance.limits.d));

function overBy(state: PourState): { id: string; by: Decimal } | null {
  const pour = lastPour(state);
  if (pour === null) return null;
  const line = lineOf(state, pour.line);
  return { id: pour.line, by: line.poured.minus(line.target).div(line.target) };
}

/** The step that the moment is about, with what is poured of it by this pour. */
function presentStep(state: PourState, line: LineState, live: Live, drop: DropSize): NowStep {
  if (state.inHand !== null) return nowStep(state, line, netNow(state, live), drop);
  if (state.withdrawing !== null)
    return drawStep(state, line, state.withdrawing, takenNow(state, state.withdrawing, live), drop);
  const last = lastPour(state);
  const told = state.phase === 'over' || last?.confirmed === false || isOut(state);
  if (last === null || !told || last.line !== line.step.line) return nowStep(state, line, zero, drop);
  const earlier = withoutPour(state, last);
  return nowStep(earlier, lineOf(earlier, last.line), last.net.times(last.stays), drop);
}

const told = new WeakMap<PourState, Choices>();

/** The choices of a state, worked out once: it is shown with every reading. */
function choicesFor(state: PourState): Choices {
  const before = told.get(state);
  if (before !== undefined) return before;
  const choices = choicesOf(state);
  told.set(state, choices);
  return choices;
}

function pourView(
  batch: Batch,
  live: Live,
  settling: SettlingState,
  trouble: string | null,
  hand: Hand,
): PourView {
  const { state } = batch;
  const settled = settling.settled !== null;
  const line = presentLine(state);
  const following = state.phase === 'bottle' ? nextLine(state) : null;
  const steps = {
    now: line === null ? null : presentStep(state, line, live, hand.drops.of(line.step, state.facts.lots)),
    next: following === null ? null : nextBottle(state, following),
  };
  const free = state.paused === null && state.lifted === null && state.lost === null;
  const choices = state.phase === 'over' && free ? choicesFor(state) : null;
  const alone = isAlone(live.link);
  const led = alone || state.paused !== null ? null : ledBy(state, live, hand, settled);
  const faced = face(state, live, settled, steps, led);
  const lines = alone ? typedFace(state, faced, live.link, settled) : faced;
  const cards = choices === null ? [] : choiceViews(state, choices, overBy(state));
  const actions = actionsOf(
    state,
    { settled, begun: begunBy(state, live), risen: hand.risen === true },
    choices,
  );
  return {
    batch: batch.id,
    name: batch.name,
    formula: state.facts.formula.name,
    total: shown(state.total, state),
    phase: state.phase,
    ...(state.paused === null ? lines : pausedFace(lines)),
    cue: led?.guidance.phase ?? null,
    willSettle: settleMark(state, led, line),
    paused: state.paused !== null,
    notice: notice(state, live, trouble, hand.breakDue === true),
    ...besides(state),
    pipettes: [...hand.drops.pipettes()],
    ladder: ladder(state, line),
    ...steps,
    choices: alone ? typedChoices(cards) : cards,
    actions: alone ? typedActions(actions) : actions,
    result: state.phase === 'closed' ? resultOf(state) : null,
  };
}

function resultOf(state: PourState): PourView['result'] {
  const { asMade, target } = strengthOf(state);
  return {
    strength: percent(asMade),
    target: percent(target),
    closure: shown(state.closure ?? zero, state),
    total: shown(netTotal(state), state),
  };
}

/** The bench as a window shows it. Pure: the same facts give the same view. */
export function benchView(
  live: Live,
  settling: SettlingState,
  batch: Batch | null,
  trouble: string | null,
  hand: Hand,
): BenchView {
  return {
    live: liveView(live, settling),
    pour: batch === null ? null : pourView(batch, live, settling, trouble, hand),
  };
}

/** A bench whose batch the program fails to show: the balance as it is, and which batch and why. */
export function unshownView(live: Live, settling: SettlingState, batch: Batch, cause: unknown): BenchView {
  const why = cause instanceof Error ? `${cause.name}: ${cause.message}` : String(cause);
  return { live: liveView(live, settling), pour: null, unshown: { batch: batch.id, name: batch.name, why } };
}
