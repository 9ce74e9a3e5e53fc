import { Decimal, decimal, decimalsOf, fixed, plain } from '../../../core/quantity/decimal.ts';
import type { RecordFile } from '../../../core/record/record.ts';
import { eventText } from '../../../core/record/words.ts';

/** How the figures of a record are written on paper. Masses in g, shares in % by mass. */
export interface Figures {
  mass(text: string): string;
  /** The same with its sign, where it is not zero. */
  signed(text: string): string;
}

export function figuresOf(record: RecordFile): Figures {
  const decimals = decimalsOf(record.batch.balance.limits.d);
  const mass = (text: string): string => fixed(decimal(text), decimals);
  return { mass, signed: (text) => signedTo(text, decimals) };
}

/** A figure to so many places with its sign; what rounds to zero has none. */
export function signedTo(text: string, places: number): string {
  const value = decimal(text).toDecimalPlaces(places);
  return `${value.gt(0) ? '+' : value.lt(0) ? '−' : ''}${value.abs().toFixed(places)}`;
}

/** A fraction in per cent with three decimals; with six significant digits below a tenth of a per cent. */
export function percent(fraction: string): string {
  const value = decimal(fraction).times(100);
  return value.abs().lt('0.1') && !value.isZero() ? plain(value.toSignificantDigits(3)) : value.toFixed(3);
}

/** An expanded uncertainty, two significant digits. */
export const spread = (U: Decimal | string): string =>
  plain(new Decimal(typeof U === 'string' ? decimal(U) : U).toSignificantDigits(2));

export const spreadPercent = (U: string): string => spread(decimal(U).times(100));

/** "2026-01-31 09:30 UTC". */
export const when = (stamp: string): string => `${stamp.slice(0, 10)} ${stamp.slice(11, 16)} UTC`;

/** Events that every plain pour has, or that only end what another began. All others are told on paper. */
const PLAIN: ReadonlySet<RecordFile['events'][number]['event']['type']> = new Set([
  'started',
  'vessel-weighed',
  'pour-begun',
  'captured',
  'revised',
  'confirmed',
  'withdrawal-begun',
  'withdrawal-left',
  'resumed',
  'balance-back',
  'caution-heeded',
  'closing-weighed',
  'pan-checked',
  'closed',
]);

/** The usual cautions of everything in a record, each once. */
export const cautionsOf = ({ materials }: RecordFile): string[] => [
  ...new Set(materials.flatMap((one) => one.cautions ?? [])),
];

/** Every event of a batch that a plain pour would not have, in words. */
export function notAsPlanned(
  record: RecordFile,
): { readonly n: number; readonly at: string; readonly text: string }[] {
  const titles = new Map(record.asMade.lines.map((line) => [line.line, line.title]));
  return record.events
    .filter(({ event }) => !PLAIN.has(event.type))
    .map(({ n, at, event }) => ({ n, at, text: eventText(event, (line) => titles.get(line) ?? line) }));
}
