import { ETHANOL, WATER } from '../formula/defaults.ts';
import type { Material } from '../formula/types.ts';
import { Decimal } from '../quantity/decimal.ts';
import { mixtureDensity } from '../quantity/ethanol.ts';

/** Density taken for a material that has none entered, g/mL: oils lie between 0.8 and 1.15 (typical, from memory). */
const ASSUMED_DENSITY = 0.95;

/** Figures that follow from densities as if volumes added up. None of them is measured. */
export interface Estimates {
  /** g/mL at 20 °C. */
  readonly density: Decimal;
  /** mL at 20 °C. */
  readonly volume: Decimal;
  /** Ethanol by volume as a fraction; zero where there is none. */
  readonly ethanolByVolume: Decimal;
  /** Materials whose density is not entered and was taken as 0.95 g/mL, by name. */
  readonly assumed: readonly string[];
}

/** mL in one gram of the ethanol and water of a composition, mixed as by OIML R 22. */
function spiritVolume(ethanol: number, water: number): number {
  const both = ethanol + water;
  return both > 0 ? (both / mixtureDensity(ethanol / both, 20)) * 1000 : 0;
}

/**
 * Estimates density, volume and % vol at 20 °C from mass fractions. Ethanol and water contract as OIML R 22 has it;
 * everything else is taken to add its own volume, which no mixture quite does.
 * @param total mass in g
 * @returns null when nothing is there
 */
export function estimatesOf(
  composition: readonly { readonly material: string; readonly name: string; readonly fraction: Decimal }[],
  materials: readonly Material[],
  total: Decimal,
): Estimates | null {
  const densities = new Map(materials.map(({ key, density }) => [key, density]));
  const present = composition.filter(({ fraction }) => fraction.gt(0));
  if (present.length === 0 || !total.gt(0)) return null;
  const of = (key: string): number => present.find((one) => one.material === key)?.fraction.toNumber() ?? 0;
  const others = present.filter(({ material }) => material !== ETHANOL && material !== WATER);
  const volume = others.reduce(
    (sum, { material, fraction }) =>
      sum + fraction.toNumber() / Number(densities.get(material) ?? ASSUMED_DENSITY),
    spiritVolume(of(ETHANOL), of(WATER)),
  );
  return {
    density: new Decimal(1 / volume),
    volume: total.times(volume),
    ethanolByVolume: new Decimal((of(ETHANOL) / mixtureDensity(1, 20)) * (1000 / volume)),
    assumed: others.filter(({ material }) => densities.get(material) === undefined).map(({ name }) => name),
  };
}
