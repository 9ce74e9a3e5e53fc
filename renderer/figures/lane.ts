/** What a lane is drawn for: one pour, all in grams. */
export interface LaneStep {
  readonly target: number;
  readonly low: number;
  readonly high: number;
  readonly drop: number;
}

/** A lane from `left` (all still to go) to `right` (too much), in the lane's own logarithmic measure. */
export interface Lane {
  readonly drop: number;
  readonly left: number;
  readonly right: number;
}

export interface Tick {
  /** Mass still to go at this tick, grams. */
  readonly toGo: number;
  readonly label: string;
}

const TICKS = [300, 100, 30, 10, 3, 1, 0.3, 0.1, 0.03, 0.01];

/** Logarithmic measure of the mass still to go: a drop near the end has as much room as a gram at the start. */
export function measure(toGo: number, drop: number): number {
  return Math.sign(toGo) * Math.log10(1 + Math.abs(toGo) / drop);
}

/**
 * The lane of a pour. It ends three half-windows, and at least six drops, past the target; where more than that is
 * over (`excess`, grams), it is lengthened by whole decades so that the mark stays on it.
 */
export function laneOf(step: LaneStep, excess = 0): Lane {
  const { drop } = step;
  let beyond = Math.max(3 * (step.high - step.target), 6 * drop);
  while (beyond < excess && beyond < 1e6) beyond *= 10;
  const before = Math.max(step.target, step.target - step.low, 3 * drop);
  return { drop, left: measure(before, drop), right: measure(-beyond, drop) };
}

/** Place on the lane, 0 at its left end and 1 at its right, kept on the lane. */
export function along(lane: Lane, toGo: number): number {
  const place = (lane.left - measure(toGo, lane.drop)) / (lane.left - lane.right);
  return Math.min(1, Math.max(0, place));
}

/** Round masses still to go, from far to near, that end at one drop; none of them closer than `apart` of the lane. */
export function ticksOf(lane: Lane, step: LaneStep, apart: number): Tick[] {
  const last: Tick = { toGo: lane.drop, label: '1 drop' };
  const kept: Tick[] = [];
  for (const toGo of TICKS) {
    if (toGo >= step.target || toGo < 1.5 * lane.drop) continue;
    const here = along(lane, toGo);
    const before = kept.at(-1);
    const farFromBefore = before === undefined || here - along(lane, before.toGo) >= apart;
    if (farFromBefore && along(lane, last.toGo) - here >= apart)
      kept.push({ toGo, label: toGo >= 1 ? `${toGo} g` : String(toGo) });
  }
  return [...kept, last];
}
