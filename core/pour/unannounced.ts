import { decimal } from '../quantity/decimal.ts';
import type { Settled } from '../weighing/settling.ts';
import { confirmLast, expectPhase, plainLike } from './asking.ts';
import { cautionsDue } from './cautions.ts';
import { PourRefusal } from './commands.ts';
import type { PourEvent } from './events.ts';
import { evolve } from './evolve.ts';
import { mayRevise } from './interruptions.ts';
import { lastPour, nextLine, type PourState, withoutPour } from './state.ts';
import { verdictOf } from './window.ts';

const NOTHING = 'No rise was seen since the last pour came to rest.';

/**
 * The next bottle was poured before it was said: what rose since belongs to its line. The pour before goes back to what
 * stood until then, and is confirmed by it; the next one begins there, its first drop included.
 * @param stood what rested before the rise; null where none was seen
 * @throws PourRefusal where that is not so, or the pour before had not ended well
 */
export function wasNext(state: PourState, stood: Settled | null): PourEvent[] {
  expectPhase(state, ['bottle', 'over'], 'Another bottle');
  const pour = lastPour(state);
  if (pour === null || stood === null || !mayRevise(state) || decimal(stood.g).lte(pour.before))
    throw new PourRefusal(NOTHING, 'Confirm the next bottle before it is poured.');
  const net = decimal(stood.g).minus(pour.before);
  const verdict = verdictOf(withoutPour(state, pour), pour.line, net);
  const back: PourEvent[] = pour.after.eq(stood.g)
    ? []
    : [
        {
          type: 'revised',
          pour: pour.pour,
          after: stood.g,
          net: plainLike(net, stood.g),
          verdict,
          settled: stood,
        },
      ];
  const was = back.reduce<PourState>(evolve, state);
  const line = nextLine(was);
  if (was.phase !== 'bottle' || line === null)
    throw new PourRefusal(
      line === null ? 'No line is left to pour.' : 'The pour before had not come to its window.',
      'Choose how to go on with what is in the vessel.',
    );
  const [due] = state.facts.cautions === 'required' ? cautionsDue(was) : [];
  if (due !== undefined) throw new PourRefusal(due.text, 'Do it, then say so.');
  const { line: id, lot } = line.step;
  return [
    ...back,
    ...confirmLast(was),
    { type: 'pour-begun', line: id, lot, confirmed: 'by eye', before: stood.g },
  ];
}
