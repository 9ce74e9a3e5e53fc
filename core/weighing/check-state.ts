import { type Decimal, type DecimalText, decimal } from '../quantity/decimal.ts';
import type { CheckedBalance } from './check-rules.ts';
import type { CheckOrder, Station } from './check-steps.ts';
import { PRINTED_RULE, type SettlingState, TYPED_RULE } from './settling.ts';

/** A figure that was taken. What was taken amiss stays, with the reason why it does not count. */
export interface Taken {
  readonly station: number;
  readonly label: string;
  readonly g: DecimalText;
  /** Milliseconds on the caller's clock. */
  readonly at: number;
  readonly readings: number;
  readonly rule: string;
  /** It was not what was expected, and the person took it all the same. */
  readonly odd?: string;
  readonly void?: string;
}

export type CheckTroubleKind =
  | 'lost'
  | 'unit'
  | 'range'
  | 'restless'
  | 'touched'
  | 'not-it'
  | 'another'
  | 'not-zero'
  | 'unmoved';

/** What is wrong at this moment, and what to do. */
export interface CheckTrouble {
  readonly kind: CheckTroubleKind;
  readonly text: string;
}

/** A check under way. Everything that comes after the stations is kept as samples: drift, drops. */
export interface CheckRun {
  readonly order: CheckOrder;
  readonly balance: CheckedBalance;
  readonly stations: readonly Station[];
  readonly phase: 'stations' | 'watching' | 'dropping' | 'done';
  /** The station that is wanted. */
  readonly station: number;
  readonly taken: readonly Taken[];
  readonly settling: SettlingState;
  /** The reading has been well off the last figure since that was taken: something was lifted or moved. */
  readonly moved: boolean;
  /** Since when nothing has come to rest that the station waits for, ms; null while it rests and waits for a hand. */
  readonly since: number | null;
  readonly unit: string | null;
  readonly trouble: CheckTrouble | null;
  readonly samples: readonly { readonly g: DecimalText; readonly at: number }[];
  /** Drift was ended before its time. */
  readonly early: boolean;
}

/** The figures that count, in the order of their stations. */
export const counted = (run: CheckRun): readonly Taken[] => run.taken.filter((one) => one.void === undefined);

/** The figure that the present one is counted from: the last with an empty pan; null before there is one. */
export function zeroOf(run: CheckRun): Decimal | null {
  const last = counted(run).findLast((one) => run.stations[one.station]?.pan === 'empty');
  return last === undefined ? null : decimal(last.g);
}

/** The station that is wanted; null once a watch has begun, or all is done. */
export const stationOf = (run: CheckRun): Station | null =>
  run.phase === 'stations' ? (run.stations[run.station] ?? null) : null;

/** Figures come one by one, typed or by the print key: each is at rest, and nothing is seen in between. */
export function isOneByOne({ taken }: CheckRun): boolean {
  const rule = taken.at(-1)?.rule;
  return rule === TYPED_RULE || rule === PRINTED_RULE;
}
