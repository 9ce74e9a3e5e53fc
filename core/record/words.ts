import type { PourEvent } from '../pour/events.ts';
import { decimal, plain } from '../quantity/decimal.ts';
import { happenedText } from './happenings.ts';

/** Writes a line's id as people know it. */
export type TitleOf = (line: string) => string;

const CHOICE: Record<Extract<PourEvent, { type: 'correction-chosen' }>['choice'], string> = {
  exact: 'Exact correction chosen',
  least: 'Least correction chosen',
  keep: 'Kept as poured',
};

/** A factor, or a mass that was computed, with at most six decimals, without trailing zeros. */
const sixth = (text: string): string => plain(decimal(text).toDecimalPlaces(6));
const factor = sixth;

function correctionText(event: Extract<PourEvent, { type: 'correction-chosen' }>, titleOf: TitleOf): string {
  if (event.choice === 'keep') return `${CHOICE.keep}; no target was changed.`;
  const topUps = event.targets.filter((target) => target.topUp !== null).length;
  const from =
    event.bottle === undefined ? '' : `, ${titleOf(event.bottle.line)} from lot ${event.bottle.lot}`;
  return `${CHOICE[event.choice]}${from}: targets times ${factor(event.scale)}, ${dueText(topUps)}.`;
}

const dueText = (topUps: number): string =>
  topUps === 0 ? 'nothing to top up' : topUps === 1 ? '1 top-up' : `${topUps} top-ups`;

type Withdrawal = Extract<PourEvent, { type: 'withdrawn' | 'withdrawal-revised' }>;

function withdrawalText(event: Withdrawal): string {
  const what =
    event.type === 'withdrawal-revised'
      ? `Withdrawal revised to ${event.taken} g`
      : `${event.taken} g withdrawn ${event.from === 'unmixed' ? 'from the first line alone' : 'from the stirred vessel'}`;
  const topUps = event.targets.filter((target) => target.topUp !== null).length;
  const scaled = decimal(event.scale).eq(1) ? '' : `, targets times ${factor(event.scale)}`;
  const left = {
    inside: event.targets.length === 0 ? 'inside' : `inside${scaled}, ${dueText(topUps)}`,
    over: 'a line is still past its window',
    under: 'under, to be poured on',
  };
  return `${what}, at ${event.after} g: ${left[event.verdict]}; settled by ${event.settled.rule}.`;
}

function beginText(event: Extract<PourEvent, { type: 'withdrawal-begun' }>): string {
  const where = event.from === 'unmixed' ? 'the first line alone' : 'the vessel, once stirred';
  const window = event.high === null ? 'or more' : `from ${sixth(event.low)} to ${sixth(event.high)} g`;
  return `To withdraw from ${where}: ${sixth(event.aim)} g, ${window}, counted from ${event.before} g.`;
}

function pourText(event: Extract<PourEvent, { type: 'captured' | 'revised' }>, titleOf: TitleOf): string {
  const how = `settled by ${event.settled.rule}`;
  if (event.type === 'revised')
    return `Pour ${event.pour} revised to ${event.net} g, ${event.verdict}; ${how}.`;
  return `Pour ${event.pour}: ${event.net} g of ${titleOf(event.line)} from lot ${event.lot}, ${event.verdict}; ${how}.`;
}

function startedText(event: Extract<PourEvent, { type: 'started' }>): string {
  const { formula, plan, balance, operator, follows } = event;
  const by = operator === '' ? '' : `, by ${operator}`;
  const anew = follows === undefined ? '' : `; it begins batch ${follows} anew`;
  return `Batch of ${formula.name} begun: ${plan.total} g in ${plan.steps.length} steps, on ${balance.name}${by}${anew}.`;
}

/**
 * One sentence for an event of a batch, for the record and the console. `titleOf` gives a line's title; without it a
 * line is called by its id.
 */
export function eventText(event: PourEvent, titleOf: TitleOf = (line) => line): string {
  switch (event.type) {
    case 'started':
      return startedText(event);
    case 'vessel-weighed':
      return `Empty vessel: ${event.gross} g.`;
    case 'pour-begun':
      return `${titleOf(event.line)}: lot ${event.lot} taken, told ${event.confirmed}; pour begun at ${event.before} g.`;
    case 'captured':
    case 'revised':
      return pourText(event, titleOf);
    case 'confirmed':
      return `Pour ${event.pour} confirmed.`;
    case 'correction-chosen':
      return correctionText(event, titleOf);
    case 'withdrawal-begun':
      return beginText(event);
    case 'withdrawal-left':
      return 'Nothing was withdrawn; the choice is open again.';
    case 'withdrawn':
    case 'withdrawal-revised':
      return withdrawalText(event);
    case 'voided':
      return `Pour ${event.pour} voided: ${event.reason}. It is read again from ${event.gross} g.`;
    case 'skipped':
      return `${titleOf(event.line)} skipped: ${event.reason}.`;
    case 're-zeroed':
      return `Display re-zeroed, from ${event.from} g to ${event.to} g.`;
    case 'vessel-lifted':
    case 'vessel-returned':
    case 're-read':
    case 'line-added':
    case 'caution-heeded':
    case 'break-taken':
    case 'closing-weighed':
    case 'pan-checked':
      return happenedText(event);
    case 'paused':
      return `Paused: ${event.why}.`;
    case 'resumed':
      return 'Resumed.';
    case 'balance-lost':
      return `Balance lost: ${event.why}.`;
    case 'balance-back':
      return 'Balance back.';
    case 'noticed':
      return `Noticed, ${event.what}: ${event.detail}.`;
    case 'closed':
      return `Closed at ${event.gross} g, closure ${event.closure} g.`;
    case 'abandoned':
      return `Abandoned: ${event.reason}${event.discarded === undefined ? '' : `, ${event.discarded} g thrown away`}${event.followedBy === undefined ? '' : `; batch ${event.followedBy} follows`}.`;
    case 'amended':
      return `Amended by ${event.who}, because ${event.why}: ${event.text}`;
  }
}
