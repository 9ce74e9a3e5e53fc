import type { PourEvent } from '../pour/events.ts';
import { decimal, plain } from '../quantity/decimal.ts';

/** Writes a line's id as people know it. */
export type TitleOf = (line: string) => string;

const CHOICE: Record<Extract<PourEvent, { type: 'correction-chosen' }>['choice'], string> = {
  exact: 'Exact correction chosen',
  least: 'Least correction chosen',
  keep: 'Kept as poured',
};

/** A factor with at most six decimals, without trailing zeros. */
const factor = (text: string): string => plain(decimal(text).toDecimalPlaces(6));

function correctionText(event: Extract<PourEvent, { type: 'correction-chosen' }>): string {
  if (event.choice === 'keep') return `${CHOICE.keep}; no target was changed.`;
  const topUps = event.targets.filter((target) => target.topUp !== null).length;
  const due = topUps === 0 ? 'nothing to top up' : topUps === 1 ? '1 top-up' : `${topUps} top-ups`;
  return `${CHOICE[event.choice]}: targets times ${factor(event.scale)}, ${due}.`;
}

function pourText(event: Extract<PourEvent, { type: 'captured' | 'revised' }>, titleOf: TitleOf): string {
  const how = `settled by ${event.settled.rule}`;
  if (event.type === 'revised')
    return `Pour ${event.pour} revised to ${event.net} g, ${event.verdict}; ${how}.`;
  return `Pour ${event.pour}: ${event.net} g of ${titleOf(event.line)} from lot ${event.lot}, ${event.verdict}; ${how}.`;
}

/**
 * One sentence for an event of a batch, for the record and the console. `titleOf` gives a line's title; without it a
 * line is called by its id.
 */
export function eventText(event: PourEvent, titleOf: TitleOf = (line) => line): string {
  switch (event.type) {
    case 'started':
      return `Batch of ${event.formula.name} begun: ${event.plan.total} g in ${event.plan.steps.length} steps, on ${event.balance.name}${event.operator === '' ? '' : `, by ${event.operator}`}.`;
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
      return correctionText(event);
    case 'voided':
      return `Pour ${event.pour} voided: ${event.reason}. It is read again from ${event.gross} g.`;
    case 'skipped':
      return `${titleOf(event.line)} skipped: ${event.reason}.`;
    case 're-zeroed':
      return `Display re-zeroed, from ${event.from} g to ${event.to} g.`;
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
      return `Abandoned: ${event.reason}.`;
  }
}
