import type { Decimal } from '../quantity/decimal.ts';
import type { AsMadeInput } from './as-made.ts';

/** Weight of each pour in a sum of masses, by the pour's place in the order; what is not named weighs nothing. */
type Held = ReadonlyMap<number, number>;

/** One difference of two gross readings, in the order they were made: a pour, or a withdrawal. */
interface Entry {
  readonly before: Decimal;
  readonly after: Decimal;
  /** Place among the pours; null for a withdrawal. */
  readonly pour: number | null;
}

function entriesOf({ pours, withdrawals = [] }: AsMadeInput): Entry[] {
  const drawnBefore = (i: number): Entry[] =>
    withdrawals.filter((one) => one.place === i).map(({ before, after }) => ({ before, after, pour: null }));
  return [
    ...pours.flatMap(({ before, after }, i) => [...drawnBefore(i), { before, after, pour: i }]),
    ...drawnBefore(pours.length),
  ];
}

interface Drawn {
  /** Fraction of the vessel that stayed, and what one gram of the vessel then weighed in the sum. */
  readonly stays: number;
  readonly weight: number;
}

/** What was in the vessel at each withdrawal; null for a pour. */
function drawnAt(entries: readonly Entry[], held: Held): (Drawn | null)[] {
  let sum = 0;
  let vessel = 0;
  return entries.map(({ before, after, pour }) => {
    const change = after.minus(before).toNumber();
    if (pour !== null) {
      sum += change * (held.get(pour) ?? 0);
      vessel += change;
      return null;
    }
    const drawn = { stays: (vessel + change) / vessel, weight: sum / vessel };
    sum *= drawn.stays;
    vessel += change;
    return drawn;
  });
}

/**
 * How far a sum of what is left of the pours moves with each difference of readings. A later withdrawal of t from T
 * leaves s = 1 - t/T of a mass q and takes more of the vessel when there was more in it: dq' = s dq + (q/T)(1 - s) dT.
 * What was drawn itself moves the sum like a pour of the vessel's own composition made after it: dq' = -(q/T) dt.
 */
function movesOf(entries: readonly Entry[], held: Held): number[] {
  const drawn = drawnAt(entries, held);
  const moves: number[] = [];
  let stays = 1;
  let through = 0;
  for (let i = entries.length - 1; i >= 0; i -= 1) {
    const at = drawn[i] ?? null;
    const pour = entries[i]?.pour ?? null;
    const weight = at?.weight ?? (pour === null ? 0 : (held.get(pour) ?? 0));
    moves[i] = stays * weight + through;
    if (at === null) continue;
    through += at.weight * (1 - at.stays) * stays;
    stays *= at.stays;
  }
  return moves;
}

/** Sum of squares over the gross readings: one that two neighbours share enters with plus and with minus. */
function overReadings(entries: readonly Entry[], moves: readonly number[]): number {
  const joined = (i: number): boolean => {
    const next = entries[i + 1];
    return next !== undefined && entries[i]?.after.eq(next.before) === true;
  };
  let sum = 0;
  for (const [i, move] of moves.entries()) {
    if (!joined(i - 1)) sum += move * move;
    sum += (joined(i) ? move - (moves[i + 1] ?? 0) : move) ** 2;
  }
  return sum;
}

/** Sums of squared sensitivities over the gross readings of a batch from which something was withdrawn. */
export interface DrawnReadings {
  /** Of a mass fraction x, times the total squared. */
  fraction(held: Held, x: number): number;
  /** Of a mass. */
  mass(held: Held): number;
}

/**
 * What the gross readings do to the figures of a batch with withdrawals. A withdrawal alone changes no fraction: its
 * reading scales all that is in equally. With what is poured afterwards it does, because that meets a vessel of which
 * more or less was left.
 */
export function drawnReadings(input: AsMadeInput): DrawnReadings {
  const entries = entriesOf(input);
  return {
    fraction: (held, x) =>
      overReadings(
        entries,
        movesOf(entries, held).map((move) => move - x),
      ),
    mass: (held) => overReadings(entries, movesOf(entries, held)),
  };
}
