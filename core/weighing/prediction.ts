import type { Seen } from './level.ts';

/** Where the reading will settle: a faint mark with its band, never a recorded value. Masses in g. */
export interface Prediction {
  readonly g: number;
  /** Half the band that holds the end value in about 95 of 100 cases, g. */
  readonly band: number;
}

export interface PredictionFrom {
  /** The last readings, oldest first, in display steps. */
  readonly seen: readonly Seen[];
  /** Display step, g. */
  readonly d: number;
  /** Time the balance needs to half of a step, s. */
  readonly lag: number;
  /** Level before the drops and the mass of one, display steps, where they are known: ends lie on that ladder. */
  readonly ladder?: { readonly base: number; readonly drop: number };
}

/** The slope is taken over this share of the lag, and over no less than so long, ms. */
const SLOPE_LAGS = 0.65;
const SLOPE_MS = 250;
/** Behind its middle the answer of a filter dies away within about this share of its lag. */
const TAIL_LAGS = 0.5;
/** Where the ladder is known the next rung says the rest: a shorter reach, and the share of a drop that is unrest. */
const RUNG_LAGS = 0.2;
const RUNG_SLACK = 0.4;
/** A drop of less than this is no ladder, d. */
const RUNG = 2;

/**
 * The end value while the reading still rises: y + slope x tail, as the answer of a filter behind its middle dies away
 * exponentially. Where the ladder of drops is known, it is the rung that the reading is on its way to.
 * @returns null where the reading no longer moves (then it speaks for itself), or too little was seen
 */
export function predict({ seen, d, lag, ladder }: PredictionFrom): Prediction | null {
  const now = seen.at(-1);
  const before = seen.at(-2);
  if (now === undefined || before === undefined) return null;
  const span = Math.max(SLOPE_MS, SLOPE_LAGS * lag * 1000);
  const first = seen.find((one) => now.at - one.at <= span);
  if (first === undefined || now.at - first.at < span / 3) return null;
  const middle = (now.at + first.at) / 2;
  const half = seen.findLast((one) => one.at <= middle) ?? first;
  if (Math.abs(now.c - first.c) < 1 || now.c === half.c) return null;
  const slope = (now.c - first.c) / ((now.at - first.at) / 1000);
  const known = ladder !== undefined && ladder.drop >= RUNG;
  const ahead = slope * TAIL_LAGS * lag;
  const end = known ? nextRung(now.c + slope * RUNG_LAGS * lag, ladder) : now.c + ahead;
  return { g: end * d, band: (1.5 + 0.6 * Math.max(Math.abs(ahead), Math.abs(end - now.c))) * d };
}

function nextRung(at: number, { base, drop }: { readonly base: number; readonly drop: number }): number {
  return base + Math.ceil((at - base) / drop - RUNG_SLACK) * drop;
}
