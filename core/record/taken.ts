import type { StoredEvent } from '../pour/events.ts';
import type { DecimalText } from '../quantity/decimal.ts';

/** What one pour took out of its bottle: its net in g, as last revised, and when it was first captured (RFC 3339, UTC). */
export interface Taken {
  readonly pour: number;
  readonly lot: string;
  readonly at: string;
  readonly g: DecimalText;
}

/**
 * What every pour of a batch took out of its bottle. What was withdrawn from the vessel later does not go back into the
 * bottle and counts; a voided pour does not, since its mass is read again as that of the next pour.
 */
export function takenOf(events: readonly StoredEvent[]): Taken[] {
  const pours = new Map<number, Taken>();
  for (const { at, event } of events) {
    if (event.type === 'captured')
      pours.set(event.pour, { pour: event.pour, lot: event.lot, at, g: event.net });
    else if (event.type === 'voided') pours.delete(event.pour);
    else if (event.type === 'revised') {
      const pour = pours.get(event.pour);
      if (pour !== undefined) pours.set(event.pour, { ...pour, g: event.net });
    }
  }
  return [...pours.values()];
}
