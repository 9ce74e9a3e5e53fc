/**
 * Density of mixtures of ethanol and water: general formula of OIML R 22:1975 (International Alcoholometric Tables),
 * the same as in Directive 76/766/EEC, annex point 4. Kilograms a cubic metre; p the mass fraction of ethanol, t °C.
 * rho(p,t) = A1 + sum A_k p^(k-1) + sum B_k (t-20)^k + sum C_ik p^k (t-20)^i. Air-free, at normal pressure.
 */
const A = [
  998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042, -613838.1234,
  747017.2998, -547846.1354, 223446.0334, -39032.85426,
] as const;

const B = [-0.20618513, -0.0052682542, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11] as const;

const C = [
  [
    0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
    -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
    1285.617841998974,
  ],
  [
    -0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
    109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783,
  ],
  [
    -0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
    4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812,
  ],
  [4.075376675622027e-6, -8.76305857347111e-6, 6.515031360099368e-6, -1.51578483698721e-6],
  [-2.788074354782409e-8, 1.345612883493354e-8],
] as const;

/** Temperatures in °C between which the formula holds. */
const COLDEST = -20;
const WARMEST = 40;

/** Freezing points by mass fraction, °C, from memory: below them there is ice, and the formula says nothing. */
const FREEZING = [
  [0, 0],
  [0.05, -2],
  [0.1, -4.5],
  [0.2, -10.9],
  [0.3, -20.5],
] as const;

function freezingPoint(p: number): number {
  for (const [at, [fraction, point]] of FREEZING.entries()) {
    const before = FREEZING[at - 1];
    if (before === undefined || p > fraction) continue;
    return before[1] + ((point - before[1]) * (p - before[0])) / (fraction - before[0]);
  }
  return Number.NEGATIVE_INFINITY;
}

/** Value of c0 + c1 x + c2 x² ... */
const polynomial = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);

function checkFraction(fraction: number, what: string): void {
  if (!(fraction >= 0 && fraction <= 1))
    throw new RangeError(`${what} ${fraction} is not between 0 and 1 (0 and 100 %)`);
}

/**
 * Density of an ethanol-water mixture in kg/m³, by OIML R 22.
 * @param p mass fraction of ethanol, 0 to 1
 * @param t temperature in °C, -20 to 40
 * @throws RangeError outside these, or where there would be ice
 */
export function mixtureDensity(p: number, t: number): number {
  checkFraction(p, 'a mass fraction of');
  if (!(t >= COLDEST && t <= WARMEST))
    throw new RangeError(`${t} °C is outside ${COLDEST} to ${WARMEST} °C, where the density formula holds`);
  if (t < freezingPoint(p)) throw new RangeError(`at ${t} °C a mixture with ${p} ethanol holds ice`);
  const over = t - 20;
  const mixed = C.map((row) => p * polynomial(row, p));
  return polynomial(A, p) + over * polynomial(B, over) + over * polynomial(mixed, over);
}

/** Volume fraction at 20 °C (the "% vol" of a label, as a fraction) of a mass fraction of ethanol, 0 to 1. */
export const volumeFraction = (massFraction: number): number =>
  (massFraction * mixtureDensity(massFraction, 20)) / mixtureDensity(1, 20);

/**
 * Mass fraction of ethanol of a volume fraction at 20 °C; the inverse of `volumeFraction`, to 1e-12.
 * @throws RangeError outside 0 to 1
 */
export function massFraction(fraction: number): number {
  checkFraction(fraction, 'a volume fraction of');
  let low = 0;
  let high = 1;
  while (high - low > 1e-13) {
    const middle = (low + high) / 2;
    if (volumeFraction(middle) < fraction) low = middle;
    else high = middle;
  }
  return fraction === 0 || fraction === 1 ? fraction : (low + high) / 2;
}
