import { Decimal, type DecimalText, decimal } from '../quantity/decimal.ts';
import type { BalanceLimits, Sureness } from './types.ts';

/** Limits of a balance read once, so that many masses can be judged. In g and g². */
export interface Scale {
  readonly d: Decimal;
  /** Square of the uncertainty of a net that does not grow with the mass: max(s, d/sqrt 6) squared. */
  readonly floor: Decimal;
  /** Square of the calibration share. */
  readonly share: Decimal;
}

/**
 * Reads the limits. A net is a difference of two readings, each rounded to d: their rounding alone has the standard
 * uncertainty d/sqrt 6 = 0.41 d, the floor of the repeatability (USP <41>).
 */
export function scaleOf(balance: BalanceLimits): Scale {
  const d = decimal(balance.d);
  const s = decimal(balance.s);
  const c = decimal(balance.c);
  return { d, floor: Decimal.max(s.times(s), d.times(d).div(6)), share: c.times(c) };
}

/** Half-window of a target in g: max(tolerance x target, d). */
export function halfWindow(target: Decimal, tolerance: Decimal, d: Decimal): Decimal {
  const half = target.times(tolerance);
  return half.lt(d) ? d : half;
}

/** Square of the standard uncertainty of a net of `mass`, in g²: floor + (mass x c) squared. */
export const netVariance = (mass: Decimal, scale: Scale): Decimal =>
  scale.floor.plus(mass.times(mass).times(scale.share));

/** More than floating point can be wrong in a ratio of squares. */
const ROUGH = 1e-6;

const netVarianceRoughly = (mass: number, scale: Scale): number =>
  scale.floor.toNumber() + mass * mass * scale.share.toNumber();

/** A window wider than this share of its target tells little of the strength (chosen, no source). */
export const WIDEST_TELLING = 0.1;

/**
 * How surely a target can be hit within `half`, with u the standard uncertainty of the net:
 * - sure: 2u <= half, and the window is no wider than the tolerance asks;
 * - coarse: u <= half, but the balance is too coarse for the tolerance and the window was widened to one readability;
 * - blind: u > half, or the widened window is more than a tenth of the target.
 */
export function sureness(target: Decimal, half: Decimal, tolerance: Decimal, scale: Scale): Sureness {
  const widened = half.gt(target.times(tolerance));
  const spare = half.toNumber() ** 2 / netVarianceRoughly(target.toNumber(), scale);
  if (!widened && spare > 4 + ROUGH) return 'sure';
  const variance = netVariance(target, scale);
  const square = half.times(half);
  if (variance.gt(square) || (widened && half.gt(target.times(WIDEST_TELLING)))) return 'blind';
  return widened || variance.times(4).gt(square) ? 'coarse' : 'sure';
}

/**
 * Least net in g that is surely weighed within `tolerance`: the smallest m with 2u(m) <= tolerance x m and a window not
 * narrower than one readability. Null when the calibration share alone takes up the tolerance.
 */
export function leastSure(tolerance: DecimalText, balance: BalanceLimits): Decimal | null {
  const scale = scaleOf(balance);
  const t = decimal(tolerance);
  const room = t.times(t).minus(scale.share.times(4));
  if (!room.gt(0)) return null;
  return Decimal.max(scale.floor.times(4).div(room).sqrt(), scale.d.div(t));
}

/** Least net in g by the strict rule of USP <41>: 2000 times max(s, 0.41 d), for comparison only. */
export function strictLeast(balance: BalanceLimits): Decimal {
  return Decimal.max(decimal(balance.s), decimal(balance.d).times('0.41')).times(2000);
}
