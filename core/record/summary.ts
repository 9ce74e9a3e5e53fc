import type { StoredEvent } from '../pour/events.ts';
import { Decimal, decimal, fixed } from '../quantity/decimal.ts';
import { asMade } from './as-made.ts';
import { type Poured, pouredOf, type RecordedPour } from './pours.ts';
import { asMadeInput } from './record.ts';
import { uncertaintyOf } from './uncertainty.ts';

/** One lot in a batch: what is in the vessel of it, in g, and as a fraction of the whole. */
export interface LotInBatch {
  readonly lot: string;
  readonly name: string;
  /** The batch that the lot was made by; null when it was bought. */
  readonly madeBy: string | null;
  readonly mass: string;
  readonly share: string;
}

/** What a batch is found by, and what of it is shown in a list. Masses in g, fractions by mass, as decimal text. */
export interface BatchSummary {
  readonly name: string;
  readonly formula: string;
  readonly operator: string;
  readonly ended: string | null;
  readonly total: string;
  readonly lots: readonly LotInBatch[];
  /** Names of the materials that are in it. */
  readonly materials: readonly string[];
  /** Null while nothing is in the vessel. */
  readonly strength: string | null;
  readonly strengthU: string | null;
  readonly strengthTarget: string | null;
  /** Largest deviation of a line from its target, as a share of the target without its sign, %; null without one. */
  readonly worst: number | null;
  /** What was not as planned, in words. */
  readonly marks: readonly string[];
  /** Why strength and deviation could not be computed; null when they could. What was poured is known all the same. */
  readonly trouble: string | null;
}

const DECIMALS = 12;
const text = (value: Decimal): string => fixed(value, Math.min(DECIMALS, value.decimalPlaces()));
const zero = new Decimal(0);

function inVessel(pours: readonly RecordedPour[]): Map<string, Decimal> {
  const masses = new Map<string, Decimal>();
  for (const { lot, net, stays, voided } of pours)
    if (!voided) masses.set(lot, (masses.get(lot) ?? zero).plus(net.times(stays)));
  return masses;
}

function lotsIn({ facts, pours }: Poured, total: Decimal): LotInBatch[] {
  const known = new Map([...facts.lots, ...(facts.shelf ?? [])].map((lot) => [lot.code, lot]));
  return [...inVessel(pours)].map(([lot, mass]) => ({
    lot,
    name: known.get(lot)?.name ?? lot,
    madeBy: known.get(lot)?.madeBy ?? null,
    mass: text(mass),
    share: text(total.isZero() ? zero : mass.div(total)),
  }));
}

/** Words for what events alone tell. */
const EVENT_MARK: Partial<Record<StoredEvent['event']['type'], string>> = {
  voided: 'voided',
  withdrawn: 'withdrawn',
  're-zeroed': 're-zeroed',
  'vessel-lifted': 'vessel lifted',
  're-read': 'read anew',
  'line-added': 'unplanned line',
  paused: 'paused',
  'balance-lost': 'balance lost',
  noticed: 'noticed',
  amended: 'amended',
};

function marksOf({ lines, status }: Poured, events: readonly StoredEvent[]): string[] {
  const marks = new Set<string>();
  if (status !== 'closed') marks.add(status);
  for (const { mark } of lines) if (mark !== 'none' && mark !== 'inside') marks.add(mark);
  for (const { event } of events) {
    const mark = EVENT_MARK[event.type];
    if (mark !== undefined) marks.add(mark);
    if (event.type === 'correction-chosen' && event.choice !== 'keep') marks.add('corrected');
  }
  return [...marks];
}

type Figures = Pick<
  BatchSummary,
  'materials' | 'strength' | 'strengthU' | 'strengthTarget' | 'worst' | 'trouble'
>;

function figuresOf(poured: Poured): Figures {
  const input = asMadeInput(poured);
  const made = asMade(input);
  const { strength } = uncertaintyOf(input, poured.facts.balance.limits, made);
  const off = made.lines.flatMap(({ relative, poured: mass }) =>
    relative === null || mass.isZero() ? [] : [relative.times(100).abs().toNumber()],
  );
  const empty = made.total.isZero();
  return {
    materials: made.composition.filter(({ fraction }) => fraction.gt(0)).map(({ name }) => name),
    strength: empty ? null : text(made.strength),
    strengthU: empty ? null : text(new Decimal(strength.expanded).toSignificantDigits(6)),
    strengthTarget: text(made.targetStrength),
    worst: off.length === 0 ? null : Math.max(...off),
    trouble: null,
  };
}

/** The figures, or why there are none: a batch is found, and its lots are, whatever its figures come to. */
function figuresOrTrouble(poured: Poured): Figures {
  try {
    return figuresOf(poured);
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    const none = { strength: null, strengthU: null, strengthTarget: null, worst: null };
    return { materials: [], ...none, trouble: cause.message };
  }
}

/**
 * The summary of a batch from its stored events, whether it has ended or not.
 * @throws RangeError when the events are not those of a batch
 */
export function summaryOf(events: readonly StoredEvent[]): BatchSummary {
  const poured = pouredOf(events);
  const { facts } = poured;
  const total = [...inVessel(poured.pours).values()].reduce((sum, mass) => sum.plus(mass), zero);
  return {
    name: facts.formula.name,
    formula: facts.formula.id,
    operator: facts.operator,
    ended: poured.ended,
    total: text(total),
    lots: lotsIn(poured, total),
    marks: marksOf(poured, events),
    ...figuresOrTrouble(poured),
  };
}

/** Where a lot is used: by which batch, and as what share of it. */
export interface LotUse {
  readonly batch: string;
  readonly lot: string;
  /** Mass fraction of the batch. */
  readonly share: string;
}

/** A lot that a batch became. */
export interface LotMade {
  readonly lot: string;
  readonly batch: string;
}

/**
 * What share of each batch comes from `lot`, directly and through the lots that were made of it:
 * share(batch) = sum over its lots of share(lot in batch) x share(`lot` in that lot).
 * @throws RangeError when a batch is made from itself, which only altered data can say
 */
export function recallShares(
  lot: string,
  uses: readonly LotUse[],
  made: readonly LotMade[],
): ReadonlyMap<string, Decimal> {
  const byBatch = Map.groupBy(uses, (use) => use.batch);
  const maker = new Map(made.map((one) => [one.lot, one.batch]));
  const shares = new Map<string, Decimal>();
  const underWay = new Set<string>();
  const ofLot = (code: string): Decimal => {
    if (code === lot) return new Decimal(1);
    const batch = maker.get(code);
    return batch === undefined ? zero : ofBatch(batch);
  };
  const ofBatch = (batch: string): Decimal => {
    const known = shares.get(batch);
    if (known !== undefined) return known;
    if (underWay.has(batch)) throw new RangeError(`batch ${batch} is made from itself`);
    underWay.add(batch);
    const share = (byBatch.get(batch) ?? []).reduce(
      (sum, use) => sum.plus(decimal(use.share).times(ofLot(use.lot))),
      zero,
    );
    shares.set(batch, share);
    return share;
  };
  for (const batch of byBatch.keys()) ofBatch(batch);
  return new Map([...shares].filter(([, share]) => share.gt(0)));
}
