import { PourRefusal } from '../../core/pour/commands.ts';
import { lastPour, lineOf, type PourState } from '../../core/pour/state.ts';
import { type Decimal, decimal } from '../../core/quantity/decimal.ts';
import type { Settled } from '../../core/weighing/settling.ts';

/** The lot that was poured between the last two readings at rest, and by how much they rose, g. */
export interface DropEvidence {
  readonly lot: string;
  readonly rise: Decimal;
}

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
  return { lot: lineOf(state, line).step.lot, rise };
}
