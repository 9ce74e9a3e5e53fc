import type { PourEvent } from '../pour/events.ts';

/** What happened around the pours rather than in them. */
export type Happening = Extract<
  PourEvent,
  {
    type:
      | 'vessel-lifted'
      | 'vessel-returned'
      | 're-read'
      | 'line-added'
      | 'caution-heeded'
      | 'break-taken'
      | 'closing-weighed'
      | 'pan-checked';
  }
>;

const kept = (passes: boolean, limit: string): string =>
  passes ? `within ${limit} g` : `FLAGGED: beyond ${limit} g`;

/** One sentence for what happened around the pours. */
export function happenedText(event: Happening): string {
  switch (event.type) {
    case 'vessel-lifted':
      return `Vessel lifted off the pan; ${event.last} g was read before.`;
    case 'vessel-returned':
      return `Vessel back on the pan at ${event.gross} g, ${event.off} g from what it was.`;
    case 're-read':
      return `Gross read anew, from ${event.from} g to ${event.to} g: ${event.why}.`;
    case 'line-added':
      return `Unplanned line added, ${event.step.title} from lot ${event.step.lot}, without a target: ${event.why}.`;
    case 'caution-heeded':
      return `Caution heeded: ${event.caution}.`;
    case 'break-taken':
      return `Break of ${event.minutes} min taken.`;
    case 'closing-weighed':
      return `Closing check: ${event.gross} g against the vessel and the sum, closure ${event.closure} g, ${kept(event.passes, event.limit)}.`;
    case 'pan-checked':
      return `Vessel lifted for the closing check: the empty pan reads ${event.pan} g where ${event.expected} g was, ${kept(event.passes, event.limit)}.`;
  }
}
