import { Decimal, decimal } from '../quantity/decimal.ts';
import type { Bottle } from './bottle.ts';
import { brought, type Demand, rawMasses, type Share } from './masses.ts';
import { FormulaTrouble, type Problem } from './trouble.ts';

const ONE = new Decimal(1);
const ZERO = new Decimal(0);
/** Halvings of the interval in which the least strength lies. */
const HALVINGS = 50;
/** Only so many bottles, those that bring in most solvent, are tried one by one. */
const MOST_TRIED = 12;

const percent = (fraction: Decimal): string => `${fraction.times(100).toDecimalPlaces(4).toString()} %`;

/** The same bottle with its neat part `factor` times as strong, the rest in the old proportions. */
function strengthened(bottle: Bottle, factor: Decimal, neat: (key: string) => boolean): Bottle {
  const strength = bottle.strength.times(factor);
  const thinner = ONE.minus(strength).div(ONE.minus(bottle.strength));
  const parts = new Map<string, Decimal>();
  for (const [key, fraction] of bottle.parts) {
    const now = fraction.times(neat(key) ? factor : thinner);
    if (now.gt(0)) parts.set(key, now);
  }
  return { ...bottle, parts, strength };
}

function feasible(demand: Demand): boolean {
  const masses = rawMasses(demand);
  const rounding = demand.total.times('-1e-12');
  return masses?.every((mass) => mass.gte(rounding)) === true;
}

/** The demand with some of its bottles made stronger by `factor`, none beyond neat. */
function withStronger(
  demand: Demand,
  which: ReadonlySet<Share>,
  factor: Decimal,
  neat: (key: string) => boolean,
): Demand {
  const shares = demand.shares.map((share) =>
    which.has(share)
      ? {
          ...share,
          bottle: strengthened(share.bottle, Decimal.min(factor, ONE.div(share.bottle.strength)), neat),
        }
      : share,
  );
  return { ...demand, shares };
}

/** Least factor by which the bottles must be stronger; null when even neat ones would not do. */
function leastFactor(
  demand: Demand,
  which: ReadonlySet<Share>,
  neat: (key: string) => boolean,
): Decimal | null {
  let high = [...which].reduce((most, { bottle }) => Decimal.max(most, ONE.div(bottle.strength)), ONE);
  if (!feasible(withStronger(demand, which, high, neat))) return null;
  let low = ONE;
  for (let halving = 0; halving < HALVINGS; halving++) {
    const middle = low.plus(high).div(2);
    if (feasible(withStronger(demand, which, middle, neat))) high = middle;
    else low = middle;
  }
  return high;
}

/** A strength written with four digits, rounded up so that it surely does; what the search itself is unsure of is no digit. */
const roundUp = (strength: Decimal): Decimal =>
  Decimal.min(ONE, strength.minus('1e-13').toSignificantDigits(4, Decimal.ROUND_UP));

function tooMuch(demand: Demand, masses: readonly Decimal[], at: number): Problem | null {
  const share = demand.shares[at];
  const line = share?.lines[0];
  if (share === undefined || line === undefined || line.qs === true) return null;
  const carrying = demand.shares
    .map((other, place) => ({
      other,
      carried: (masses[place] ?? ZERO).times(other.bottle.parts.get(line.material) ?? ZERO),
    }))
    .filter(({ other, carried }) => other !== share && carried.gt(0))
    .sort((a, b) => b.carried.cmp(a.carried))[0];
  if (carrying === undefined) return null;
  const asked = demand.total.times(decimal(line.fraction ?? '0'));
  return {
    field: `line ${line.id}`,
    what: `"${carrying.other.bottle.lot.name}" (${carrying.other.bottle.lot.code}) alone brings in ${carrying.carried.toFixed(4)} g of ${line.material}, where ${asked.toFixed(4)} g are asked in all`,
    next: `Use another bottle than ${carrying.other.bottle.lot.code}, or ask for at least ${percent(roundUp(carrying.carried.div(demand.total)))} of ${line.material}.`,
  };
}

function weakBottle(demand: Demand, share: Share, factor: Decimal): Problem {
  const line = share.lines[0];
  const { lot, parts } = share.bottle;
  const now = parts.get(line?.material ?? '') ?? ZERO;
  return {
    field: `line ${line?.id ?? ''}`,
    what: `"${lot.name}" (${lot.code}) is too weak: at ${percent(now)} of ${line?.material ?? ''} the pours add up to more than the batch of ${demand.total.toString()} g`,
    next: `Use a bottle of at least ${percent(roundUp(now.times(factor)))}, or lower the fraction of this line.`,
  };
}

/**
 * Says why the bottles cannot make the formula: which bottle is too weak and the least strength that would do, or which
 * bottle brings in more than is asked.
 * @param masses the raw solution, some of it negative
 */
export function whyNot(
  demand: Demand,
  masses: readonly Decimal[],
  neat: (key: string) => boolean,
): FormulaTrouble {
  const weak = demand.shares
    .filter(({ bottle }) => bottle.kind === 'dilution')
    .map((share) => ({
      share,
      solvent: (masses[demand.shares.indexOf(share)] ?? ZERO).times(ONE.minus(share.bottle.strength)),
    }))
    .sort((a, b) => b.solvent.cmp(a.solvent))
    .map(({ share }) => share);
  for (const share of weak.slice(0, MOST_TRIED)) {
    const factor = leastFactor(demand, new Set([share]), neat);
    if (factor !== null) return new FormulaTrouble([weakBottle(demand, share, factor)]);
  }
  const all = new Set(weak);
  const factor = all.size === 0 ? null : leastFactor(demand, all, neat);
  if (factor !== null)
    return new FormulaTrouble(
      weak.map((share) => weakBottle(demand, share, Decimal.min(factor, ONE.div(share.bottle.strength)))),
    );
  const over = masses.flatMap((mass, at) => (mass.lt(0) ? [tooMuch(demand, masses, at)] : []));
  const named = over.filter((problem) => problem !== null);
  if (named.length > 0) return new FormulaTrouble(named);
  const sums = [
    ...brought(
      demand,
      masses.map((mass) => Decimal.max(mass, ZERO)),
    ),
  ];
  return new FormulaTrouble([
    {
      field: 'lines',
      what: `the bottles bring in more than the batch of ${demand.total.toString()} g holds: ${sums.map(([key, mass]) => `${mass.toFixed(3)} g of ${key}`).join(', ')}`,
      next: 'Choose stronger bottles, or lower the fractions.',
    },
  ]);
}
