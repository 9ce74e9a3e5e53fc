import type { Lot } from '../../core/formula/types.ts';
import { PourRefusal } from '../../core/pour/commands.ts';
import { lastPour, lineOf, type PourState } from '../../core/pour/state.ts';
import { type Decimal, decimal, plain } from '../../core/quantity/decimal.ts';
import { type DropSize, swallowed } from '../../core/weighing/drops.ts';
import type { Settled } from '../../core/weighing/settling.ts';

/** The lot that was poured between the last two readings at rest, and by how much they rose, g. */
export interface DropEvidence {
  readonly lot: Lot;
  readonly rise: Decimal;
  /** What the display showed before the drops, g. */
  readonly from: Decimal;
}

/** Balances track their zero only this near to it, display steps (dynamics of zero tracking: bands up to 3 d). */
const TRACKED = 3;

/**
 * What the drops since the rest before are told from. Near a zero the reading may not have risen at all: a balance that
 * tracks it can swallow every drop, so that its figure still rests where it did.
 * @param d display step, g
 * @throws PourRefusal when there are no two readings at rest to tell drops from, or when they fell
 */
export function betweenRests(
  state: PourState | null,
  rests: readonly string[],
  settled: Settled | null,
  d: number,
): DropEvidence {
  const line = state?.inHand?.line ?? (state === null ? undefined : lastPour(state)?.line);
  const to = rests.at(-1);
  const from = rests.at(-2) ?? (isTracked(to, d) ? to : undefined);
  const lot = state?.facts.lots.find(
    (one) => line !== undefined && one.code === lineOf(state, line).step.lot,
  );
  if (lot === undefined || from === undefined || to === undefined || settled?.g !== to)
    throw new PourRefusal(
      'There are no drops between two readings at rest.',
      'Let it settle, give some drops, let it settle again, then type how many.',
    );
  const rise = decimal(to).minus(from);
  if (!rise.gt(0) && !(rise.isZero() && isTracked(from, d))) throw notRisen();
  return { lot, rise, from: decimal(from) };
}

/** Drops were typed, and the reading is where it was. */
export const notRisen = (): PourRefusal =>
  new PourRefusal('The reading did not rise.', 'Give the drops first, then type how many.');

/** Whether a reading is so near to zero that a balance may track it away. */
const isTracked = (g: string | undefined, d: number): boolean =>
  g !== undefined && Math.abs(Number(g)) <= TRACKED * d + 1e-9;

/**
 * What to say where so many drops of a known mass should have weighed clearly more than the reading rose: near a fresh
 * zero a balance that tracks it takes slow drops for drift. Null where chance explains the difference, and away from a
 * zero, where another pipette does.
 * @param d display step, g
 */
export function swallowedText(
  count: number,
  { lot, rise, from }: DropEvidence,
  known: DropSize | null,
  d: number,
): string | null {
  if (known === null || !isTracked(plain(from), d) || !swallowed(count, known, rise.toNumber(), d).suspected)
    return null;
  const should = (count * known.mean).toFixed(2);
  return `${count} drops of lot ${lot.code} weigh about ${should} g and the reading ${rise.isZero() ? 'did not rise' : `rose by ${plain(rise)} g`}: the balance may have taken slow drops for drift of its zero`;
}
