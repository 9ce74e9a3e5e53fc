import { ETHANOL, isOfNeat, WATER } from '../formula/defaults.ts';
import type { Lot, Material } from '../formula/types.ts';
import { Decimal, type DecimalText, decimal } from '../quantity/decimal.ts';
import { volumeFraction } from '../quantity/ethanol.ts';

/** What a label is written from. */
export interface LabelFacts {
  readonly lot: Lot;
  readonly materials: readonly Material[];
  /** Who made or filled it; empty where the workshop has no name yet. */
  readonly maker: string;
  /** The batch it was made by: its day, and the expanded uncertainty (k = 2) of its strength as a mass fraction. */
  readonly made?: { readonly on: string; readonly strengthU: DecimalText };
}

/** The words of one bottle's labels; null and empty are not printed. */
export interface LabelText {
  readonly name: string;
  /** What a lid may say instead of a name too long for it: the one material the lot is of, where the name begins so. */
  readonly material: string | null;
  readonly code: string;
  /** Strength in full, and as short as a lid has room for. */
  readonly strength: string;
  readonly short: string;
  /** Note and family of a lot of one material. */
  readonly kind: string | null;
  readonly date: string | null;
  readonly bestBefore: string | null;
  readonly maker: string | null;
  /** The usual short cautions; the last sentence defers to the suppliers. */
  readonly cautions: string;
  /** What is left of the cautions where they do not fit. */
  readonly pointer: string;
}

interface Part {
  readonly material: Material | undefined;
  readonly key: string;
  readonly fraction: Decimal;
}

const DEFERS = "Not all there is to know: read the suppliers' documents.";
const POINTER = "Cautions: read the suppliers' documents.";

const sum = (values: readonly Decimal[]): Decimal =>
  values.reduce((total, value) => total.plus(value), new Decimal(0));

function partsOf({ lot, materials }: LabelFacts): Part[] {
  const byKey = new Map(materials.map((one) => [one.key, one]));
  return Object.entries(lot.composition)
    .map(([key, fraction]) => ({ key, material: byKey.get(key), fraction: decimal(fraction) }))
    .filter(({ fraction }) => fraction.gt(0))
    .sort((a, b) => b.fraction.cmp(a.fraction));
}

const isNeat = ({ material }: Part): boolean => material?.kind === 'neat';

/**
 * Expanded uncertainty (k = 2) of the strength. Neat and solvent sum to one, so the one is as uncertain as the other;
 * of several parts whose correlation nobody wrote down it is at most their sum, and the lesser of both sides holds.
 */
function spreadOf({ lot, made }: LabelFacts, parts: readonly Part[]): Decimal {
  if (made !== undefined) return decimal(made.strengthU);
  const side = (wanted: boolean): Decimal[] =>
    parts
      .filter((part) => isNeat(part) === wanted)
      .flatMap(({ key }) => {
        const u = lot.uncertainty?.[key];
        return u === undefined ? [] : [decimal(u)];
      });
  const sides = [side(true), side(false)].filter((one) => one.length > 0).map(sum);
  return sides.reduce((least, one) => (one.lt(least) ? one : least), sides[0] ?? new Decimal(0)).times(2);
}

const short = (value: Decimal): string => value.toDecimalPlaces(1).toString();

/** "96 % vol": by OIML R 22 from the mass fractions of ethanol and water among themselves, at 20 °C. */
function volumeText(ethanol: Decimal, water: Decimal): string {
  const share = ethanol.div(ethanol.plus(water)).toNumber();
  return `${short(new Decimal(volumeFraction(share) * 100))} % vol`;
}

function solventText(parts: readonly Part[]): string {
  const solvents = parts.filter((part) => !isNeat(part));
  const of = (wanted: string): Decimal =>
    solvents.find(({ key }) => key === wanted)?.fraction ?? new Decimal(0);
  const ethanol = of(ETHANOL);
  const spirit = ethanol.gt(0);
  const others = solvents.filter(({ key }) => !spirit || (key !== ETHANOL && key !== WATER));
  const names = others.map(({ material, key, fraction }) => ({ name: material?.name ?? key, fraction }));
  if (spirit)
    names.push({ name: `ethanol ${volumeText(ethanol, of(WATER))}`, fraction: ethanol.plus(of(WATER)) });
  names.sort((a, b) => b.fraction.cmp(a.fraction));
  if (names.length > 3) return `${names.length} solvents`;
  return names.map(({ name }) => name).join(' and ');
}

/** Two decimals, or as many as the uncertainty's first digit needs. */
function decimalsFor(spread: Decimal): number {
  if (!spread.gt(0)) return 2;
  return Math.max(2, -Math.floor(Math.log10(spread.toNumber())));
}

function strengthOf(facts: LabelFacts, parts: readonly Part[]): { full: string; short: string } {
  const neat = sum(parts.filter(isNeat).map(({ fraction }) => fraction));
  if (neat.isZero()) {
    const spirit = parts.find(({ key }) => key === ETHANOL)?.fraction;
    const water = parts.find(({ key }) => key === WATER)?.fraction ?? new Decimal(0);
    const short = spirit === undefined ? 'solvent' : volumeText(spirit, water);
    return { full: `solvent: ${solventText(parts)}`, short };
  }
  if (parts.every(isNeat)) return { full: 'neat', short: 'neat' };
  const spread = spreadOf(facts, parts).times(100);
  const decimals = decimalsFor(spread);
  const percent = neat.times(100).toFixed(decimals);
  const within = spread.gt(0) ? ` ± ${spread.toFixed(decimals)} %` : '';
  return { full: `${percent} %${within} by mass in ${solventText(parts)}`, short: `${percent} %` };
}

function dateOf({ lot, made }: LabelFacts): string | null {
  if (made !== undefined) return `made ${made.on}`;
  if (lot.opened !== undefined) return `opened ${lot.opened}`;
  return lot.received === undefined ? null : `received ${lot.received}`;
}

/** The only neat material in it; undefined where there are none or several. */
function onlyNeat(parts: readonly Part[]): Material | undefined {
  const [only, ...more] = parts.filter(isNeat);
  return more.length > 0 ? undefined : only?.material;
}

const beginsWith = (name: string, beginning: string): boolean =>
  name.toLowerCase().startsWith(beginning.toLowerCase());

function kindOf(parts: readonly Part[]): string | null {
  const only = onlyNeat(parts);
  if (only === undefined) return null;
  return [only.note, only.family].filter((one) => one !== null && one !== '').join(' · ');
}

/** Cautions of what is in it; those that speak of the undiluted material only where it is undiluted. */
function cautionsOf(parts: readonly Part[]): string {
  const diluted = parts.some((part) => !isNeat(part));
  const all = parts.flatMap(({ material }) => material?.cautions ?? []);
  const kept = [...new Set(all)].filter((one) => !diluted || !isOfNeat(one));
  return [...kept, DEFERS].join(' ');
}

/**
 * The words of bottle and lid label of a lot. Strength is the mass fraction of everything neat, in per cent, with its
 * expanded uncertainty (k = 2) where one is known, and the solvent it stands in. The words never call a thing safe.
 */
export function labelText(facts: LabelFacts): LabelText {
  const parts = partsOf(facts);
  const strength = strengthOf(facts, parts);
  const { lot, maker } = facts;
  const material = onlyNeat(parts)?.name ?? null;
  return {
    name: lot.name,
    material: material !== null && beginsWith(lot.name, material) ? material : null,
    code: lot.code,
    strength: strength.full,
    short: strength.short,
    kind: kindOf(parts),
    date: dateOf(facts),
    bestBefore: lot.bestBefore === undefined ? null : `best before ${lot.bestBefore}`,
    maker: maker.trim() === '' ? null : maker.trim(),
    cautions: cautionsOf(parts),
    pointer: POINTER,
  };
}
