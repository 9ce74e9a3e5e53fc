import { PourRefusal } from '../../core/pour/commands.ts';
import { lastPour, lineOf, type PourState } from '../../core/pour/state.ts';
import { type Decimal, decimal, plain } from '../../core/quantity/decimal.ts';
import { type DropSize, swallowed } from '../../core/weighing/drops.ts';
import type { Settled } from '../../core/weighing/settling.ts';

/** The lot that was poured between the last two readings at rest, and by how much they rose, g. */
export interface DropEvidence {
  readonly lot: string;
  readonly rise: Decimal;
  /** What the display showed before the drops, g. */
  readonly from: Decimal;
}

/** Balances track their zero only this near to it, display steps (dynamics of zero tracking: bands up to 3 d). */
const TRACKED = 3;

/** @throws PourRefusal when there are no two readings at rest to tell drops from, or when they did not rise */
export function betweenRests(
  state: PourState | null,
  rests: readonly string[],
  settled: Settled | null,
): DropEvidence {
  const line = state?.inHand?.line ?? (state === null ? undefined : lastPour(state)?.line);
  const [from, to] = rests.slice(-2);
  if (state === null || line === undefined || from === undefined || to === undefined || settled?.g !== to)
    throw new PourRefusal(
      'There are no drops between two readings at rest.',
      'Let it settle, give some drops, let it settle again, then type how many.',
    );
  const rise = decimal(to).minus(from);
  if (!rise.gt(0))
    throw new PourRefusal('The reading did not rise.', 'Give the drops first, then type how many.');
  return { lot: lineOf(state, line).step.lot, rise, from: decimal(from) };
}

/**
 * What to say where so many drops of a known mass should have weighed clearly more than the reading rose: near a fresh
 * zero a balance that tracks it takes slow drops for drift. Null where chance explains the difference, and away from a
 * zero, where another pipette does.
 * @param d display step, g
 */
export function swallowedText(
  count: number,
  { lot, rise, from }: DropEvidence,
  known: DropSize,
  d: number,
): string | null {
  if (from.abs().gt(TRACKED * d + 1e-9) || !swallowed(count, known, rise.toNumber(), d).suspected)
    return null;
  const should = (count * known.mean).toFixed(2);
  return `${count} drops of lot ${lot} weigh about ${should} g and the reading rose by ${plain(rise)} g: the balance may have taken slow drops for drift of its zero`;
}
