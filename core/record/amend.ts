import type { PourEvent, StoredEvent } from '../pour/events.ts';

/** What is added to the record of an ended batch. */
export interface Amendment {
  readonly who: string;
  readonly why: string;
  readonly text: string;
}

/** An amendment that cannot be made: what, in which field, and what to do next. */
export class AmendRefusal extends Error {
  readonly where: string;
  readonly next: string;
  constructor(what: string, where: string, next: string) {
    super(what);
    this.name = 'AmendRefusal';
    this.where = where;
    this.next = next;
  }
}

/** The fields as a window calls them. */
const CALLED: Readonly<Record<keyof Amendment, string>> = { who: 'Who', why: 'Why', text: 'What is added' };
const WANTED: Readonly<Record<keyof Amendment, string>> = {
  who: 'Say who amends the record.',
  why: 'Say why the record is amended.',
  text: 'Write what is to be added.',
};
/** Longest text of each field, in UTF-16 units. */
export const AMENDMENT_LIMITS: Readonly<Record<keyof Amendment, number>> = { who: 80, why: 500, text: 4000 };

function field(amendment: Amendment, name: keyof Amendment): string {
  const text = amendment[name].trim();
  if (text === '') throw new AmendRefusal(`"${CALLED[name]}" is empty.`, name, WANTED[name]);
  if (text.length > AMENDMENT_LIMITS[name])
    throw new AmendRefusal(
      `"${CALLED[name]}" has ${text.length} characters; ${AMENDMENT_LIMITS[name]} is the most.`,
      name,
      'Say it shorter, or amend twice.',
    );
  return text;
}

/**
 * The event that adds a note or a correction to a batch that has ended. Nothing written before is changed by it: the
 * figures stay those of the readings.
 * @throws AmendRefusal when the batch is still open, or a field is empty or too long
 */
export function amended(events: readonly StoredEvent[], amendment: Amendment): PourEvent {
  if (!events.some(({ event }) => event.type === 'closed' || event.type === 'abandoned'))
    throw new AmendRefusal(
      'This batch has not ended: what happens in it is recorded by itself.',
      'batch',
      'Close or abandon it first.',
    );
  return {
    type: 'amended',
    who: field(amendment, 'who'),
    why: field(amendment, 'why'),
    text: field(amendment, 'text'),
  };
}
