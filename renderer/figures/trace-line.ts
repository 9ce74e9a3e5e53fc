/** One reading: milliseconds, grams. */
interface Point {
  readonly at: number;
  readonly g: number;
}

/** A trace drawn: the path in a box, and the masses at the box's foot and head in grams. */
export interface TraceLine {
  readonly path: string;
  readonly low: number;
  readonly high: number;
  /** Decimals that the masses of foot and head are written with. */
  readonly decimals: number;
}

const ROUND = [1, 1.5, 2, 3, 5, 7, 10];

/** The smallest of 1, 1.5, 2, 3, 5, 7 times a power of ten that is at least `span`. */
export function roundSpan(span: number): number {
  const power = 10 ** Math.floor(Math.log10(span) + 1e-9);
  const times = ROUND.find((one) => one * power >= span * (1 - 1e-9)) ?? 10;
  return times * power;
}

/**
 * The trace of readings as one stepped path in a box of `width` by `height`: its right edge is the last reading,
 * its left edge `span` milliseconds earlier. The height spans a round mass of at least `least` grams.
 */
export function traceLine(
  points: readonly Point[],
  box: { readonly width: number; readonly height: number },
  span: number,
  least: number,
): TraceLine | null {
  const last = points.at(-1);
  if (last === undefined) return null;
  let min = last.g;
  let max = last.g;
  for (const { g } of points) {
    if (g < min) min = g;
    if (g > max) max = g;
  }
  const whole = roundSpan(Math.max(max - min, least));
  const unit = whole / 10;
  const low = Math.floor((min - (whole - (max - min)) / 2) / unit + 1e-6) * unit;
  const high = Math.max(Math.ceil(max / unit - 1e-6) * unit, low + whole);
  const x = (at: number) => (box.width * (1 - (last.at - at) / span)).toFixed(1);
  const y = (g: number) => (box.height * (1 - (g - low) / (high - low))).toFixed(1);
  let path = '';
  let level = '';
  for (const { at, g } of points) {
    const here = y(g);
    if (path === '') path = `M${x(at)} ${here}`;
    else if (here !== level) path += `H${x(at)}V${here}`;
    level = here;
  }
  return {
    path: `${path}H${box.width}`,
    low,
    high,
    decimals: Math.max(0, -Math.floor(Math.log10(unit) + 1e-9)),
  };
}
