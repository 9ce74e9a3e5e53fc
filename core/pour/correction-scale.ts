import { Decimal } from '../quantity/decimal.ts';

/** Decimals of a scale, a target or a top-up: what plain decimal text carries, with one to spare. */
export const DECIMALS = 24;
/** Masses in g closer than this are the same: the last digits of a ratio decide nothing. */
export const SAME_MASS = new Decimal('1e-15');
const SAME_SCALE = new Decimal('1e-21');

const one = new Decimal(1);

/** A line already poured, as far as it bears on the scale. Masses in g, all but `poured` above zero. */
export interface PouredLine {
  readonly target: Decimal;
  readonly poured: Decimal;
  /** The least that can be added. */
  readonly least: Decimal;
  /** The least that the upper edge of its window must leave room for, so that a hand can meet `least`. */
  readonly room: Decimal;
}

/**
 * Scales that a poured line allows: from `from` on, but for the open gap between `rests` and `tops`, where it would
 * need a top-up smaller than can be poured.
 */
interface Exactly {
  readonly from: Decimal;
  readonly rests: Decimal;
  readonly tops: Decimal;
}

/** The same in floating point, to tell which lines can decide; those that can are then taken exactly. */
export interface Edges {
  readonly from: number;
  readonly rests: number;
  readonly tops: number;
  exactly(): Exactly;
}

/** Edges closer than this, as a fraction, are told apart in decimal. */
const NEAR = 1e-9;

/** Exact: at a/t nothing is due, from (a + least top-up)/t on the top-up can be poured. */
export function exactEdges({ target, poured, least }: PouredLine): Edges {
  const t = target.toNumber();
  const a = poured.toNumber();
  return {
    from: a / t,
    rests: a / t,
    tops: (a + least.toNumber()) / t,
    exactly: () => {
      const rests = poured.div(target);
      return { from: rests, rests, tops: poured.plus(least).div(target) };
    },
  };
}

/**
 * Least: with h(k) = max(tolerance k t, d) the upper edge k t + h(k) first reaches a mass m at
 * min(m / (t (1 + tolerance)), (m - d) / t), and the lower edge leaves it behind at
 * max(m / (t (1 - tolerance)), (m + d) / t).
 */
export function leastEdges(
  { target, poured, room }: PouredLine,
  { tolerance, d }: { readonly tolerance: Decimal; readonly d: Decimal },
): Edges {
  const t = target.toNumber();
  const a = poured.toNumber();
  const share = tolerance.toNumber();
  const step = d.toNumber();
  const reached = (m: number): number => Math.min(m / (t * (1 + share)), (m - step) / t);
  return {
    from: reached(a),
    rests: Math.max(a / (t * (1 - share)), (a + step) / t),
    tops: reached(a + room.toNumber()),
    exactly: () => {
      const wide = target.times(one.plus(tolerance));
      const upper = (m: Decimal): Decimal => Decimal.min(m.div(wide), m.minus(d).div(target));
      return {
        from: upper(poured),
        rests: Decimal.max(poured.div(target.times(one.minus(tolerance))), poured.plus(d).div(target)),
        tops: upper(poured.plus(room)),
      };
    },
  };
}

const up = (scale: Decimal): Decimal => scale.toDecimalPlaces(DECIMALS, Decimal.ROUND_CEIL);

/** The end of a gap that holds `scale`, or null. */
function wayOut(edges: readonly Edges[], scale: Decimal): Decimal | null {
  const k = scale.toNumber();
  for (const edge of edges) {
    if (edge.rests > k * (1 + NEAR) || edge.tops < k * (1 - NEAR)) continue;
    const { rests, tops } = edge.exactly();
    if (rests.plus(SAME_SCALE).lt(scale) && scale.plus(SAME_SCALE).lt(tops)) return tops;
  }
  return null;
}

/**
 * The smallest scale from 1 on that every line allows, rounded up at the 24th decimal: at least every `from`, and out
 * of every gap. In closed form: it is 1 or an edge of one of the lines.
 */
export function smallestScale(edges: readonly Edges[]): Decimal {
  const highest = edges.reduce((most, edge) => Math.max(most, edge.from), 1);
  let scale = one;
  for (const edge of edges) {
    if (edge.from < highest * (1 - NEAR)) continue;
    const { from } = edge.exactly();
    if (from.gt(scale)) scale = up(from);
  }
  for (let tops = wayOut(edges, scale); tops !== null; tops = wayOut(edges, scale)) scale = up(tops);
  return scale;
}
