import { defaultMaterial } from '../../../core/formula/defaults.ts';
import type { Material } from '../../../core/formula/types.ts';
import { Decimal, type DecimalText, plain } from '../../../core/quantity/decimal.ts';
import { keyOf, sameName } from './reading.ts';

/** Mass fraction of ethanol in ethanol 96 % vol at 20 °C (OIML R 22). */
const E96: DecimalText = '0.938384';

/** Names that solvents go by besides their own (common practice, no source). */
const SHORT: Readonly<Record<string, string>> = {
  dpg: 'dipropylene-glycol',
  pg: 'propylene-glycol',
  ipm: 'isopropyl-myristate',
  tec: 'triethyl-citrate',
  ipa: 'isopropanol',
  etoh: 'ethanol',
  alcohol: 'ethanol',
  alkohol: 'ethanol',
  alcool: 'ethanol',
  'perfumers-alcohol': 'ethanol',
  'perfumer-s-alcohol': 'ethanol',
};

/** A liquid that dilutes: its name and its composition by material key. */
export interface Liquid {
  readonly name: string;
  readonly material: string;
  readonly composition: Readonly<Record<string, DecimalText>>;
}

/** The material of the Organ that a name means: by its name, another name of it, or its key; null where none. */
export function materialNamed(name: string, materials: readonly Material[]): Material | null {
  const key = keyOf(name);
  return (
    materials.find((one) => sameName(one.name, name)) ??
    materials.find((one) => one.otherNames?.some((other) => sameName(other, name))) ??
    materials.find((one) => one.key === (SHORT[key] ?? key)) ??
    null
  );
}

/** Ethanol as a bottle of it is called: "Ethanol", "Ethanol 96 % vol", "Alcohol, absolute"; null where it is none. */
function ethanolNamed(name: string): Liquid | null {
  const [, first = ''] = /^([\p{L}' -]+)/u.exec(name) ?? [];
  const words = keyOf(first.replace(/\b(absolute|anhydrous|denatured|vol|abs)\b/gi, ''));
  if ((SHORT[words] ?? words) !== 'ethanol') return null;
  const figure = /(\d+(?:[.,]\d+)?)\s*(?:%|°)?/.exec(name)?.[1]?.replace(',', '.');
  if (figure === undefined || Number(figure) >= 99.5)
    return { name: 'ethanol', material: 'ethanol', composition: { ethanol: '1' } };
  if (figure !== '96') return null;
  const water = plain(new Decimal(1).minus(E96));
  return { name: 'ethanol 96 % vol', material: 'ethanol', composition: { ethanol: E96, water } };
}

/** The solvent that a name means, known to the trade or in the Organ; null where none is. */
export function liquidNamed(name: string, materials: readonly Material[]): Liquid | null {
  const ethanol = ethanolNamed(name);
  if (ethanol !== null) return ethanol;
  const found = materialNamed(name, materials);
  const key = found?.key ?? SHORT[keyOf(name)] ?? keyOf(name);
  const known = found ?? defaultMaterial(key);
  if (found === null && known.kind !== 'solvent') return null;
  return { name: known.name.toLowerCase(), material: key, composition: { [key]: '1' } };
}

const DILUTED = /^(.*[\p{L})].*?)[\s,]+(\d+(?:[.,]\d+)?)\s*%(?:\s*(?:in|en|dans|w\/|\/)\s*(.+))?$/u;

/** A name that tells a dilution, "Vetiver oil 10 % in DPG": the neat name, per cent, and the solvent where it is told. */
export function dilutionNamed(
  name: string,
): { readonly neat: string; readonly percent: DecimalText; readonly solvent: string | null } | null {
  const [, neat, percent, solvent] = DILUTED.exec(name) ?? [];
  if (neat === undefined || percent === undefined || ethanolNamed(name) !== null) return null;
  return { neat, percent: percent.replace(',', '.'), solvent: solvent ?? null };
}

/** The composition of so strong a dilution, summing to one exactly. */
export function diluted(
  material: string,
  strength: DecimalText,
  liquid: Liquid,
): Record<string, DecimalText> {
  const rest = new Decimal(1).minus(strength);
  const parts: Record<string, DecimalText> = { [material]: strength };
  for (const [key, share] of Object.entries(liquid.composition))
    parts[key] = plain(rest.times(share).plus(parts[key] ?? 0));
  return parts;
}

/** Keys of materials that a composition speaks of and the Organ does not have, as they are known by default. */
export const missingOf = (
  composition: Readonly<Record<string, string>>,
  known: ReadonlySet<string>,
): Material[] =>
  Object.keys(composition)
    .filter((key) => !known.has(key))
    .map((key) => defaultMaterial(key));
