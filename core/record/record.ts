import { z } from 'zod';
import type { StartFacts, StoredEvent } from '../pour/events.ts';
import { Decimal, decimal, decimalsOf, fixed } from '../quantity/decimal.ts';
import { type AsMade, type AsMadeInput, asMade } from './as-made.ts';
import { headOf } from './chain.ts';
import { type Closure, closureOf } from './closure.ts';
import { type Estimates, estimatesOf } from './estimates.ts';
import { Balance, Hash, Lot, Material, Stamp, StoredEventSchema, Text } from './event-schema.ts';
import { type Poured, pouredOf } from './pours.ts';
import { type AsMadeUncertainty, type Uncertain, uncertaintyOf } from './uncertainty.ts';

/** First member of every record file. */
export const RECORD_FORMAT = 'pourwright record 1';

const Mark = z.enum(['none', 'inside', 'over', 'under', 'kept', 'skipped']);

const BatchFacts = z.strictObject({
  id: z.string().min(1),
  name: z.string(),
  formula: z.string(),
  operator: z.string(),
  started: Stamp,
  ended: Stamp.nullable(),
  status: z.enum(['closed', 'interrupted', 'abandoned']),
  balance: Balance,
  scale: Text,
  vessel: Text.nullable(),
  gross: Text.nullable(),
  closure: Text.nullable(),
  /** The batch that this one begins anew, and the one that begins this one anew. */
  follows: z.string().exactOptional(),
  followedBy: z.string().exactOptional(),
});

const PourFacts = z.strictObject({
  pour: z.int().min(1),
  line: z.string(),
  lot: z.string(),
  before: Text,
  after: Text,
  net: Text,
  /** Fraction of the net still in the vessel; absent where all of it is. */
  stays: Text.exactOptional(),
  confirmed: z.boolean(),
  voided: z.boolean(),
});

const WithdrawalFacts = z.strictObject({
  /** The last pour that was captured before it. */
  pour: z.int().min(1),
  from: z.enum(['unmixed', 'stirred']),
  before: Text,
  after: Text,
  taken: Text,
});

const AmendmentFacts = z.strictObject({
  n: z.int().min(1),
  at: Stamp,
  who: z.string(),
  why: z.string(),
  text: z.string(),
});

/** Base64 of the raw 32 bytes of an Ed25519 key, and of the 64 bytes of a signature (RFC 8032). */
const Signature = z.strictObject({
  algorithm: z.literal('Ed25519'),
  publicKey: z.string().regex(/^[A-Za-z0-9+/]{43}=$/, 'is not an Ed25519 public key in base64'),
  value: z.string().regex(/^[A-Za-z0-9+/]{86}==$/, 'is not an Ed25519 signature in base64'),
});

const ClosureText = z.strictObject({
  limit: Text,
  verdict: z.enum(['within', 'lost', 'gained']),
  text: z.string(),
});

/** Expanded uncertainties (k = 2) stand beside their figures under names that end in `U`. */
const AsMadeText = z.strictObject({
  total: Text,
  totalU: Text,
  strength: Text,
  strengthU: Text,
  /** Where the uncertainty of the strength comes from: shares of its variance. */
  strengthSources: z.array(
    z.strictObject({
      kind: z.enum(['readings', 'calibration', 'lot']),
      lot: z.string().nullable(),
      share: Text,
    }),
  ),
  targetStrength: Text,
  composition: z.array(
    z.strictObject({
      material: z.string(),
      name: z.string(),
      kind: z.enum(['neat', 'solvent']),
      fraction: Text,
      fractionU: Text,
      target: Text,
    }),
  ),
  lines: z.array(
    z.strictObject({
      line: z.string(),
      title: z.string(),
      lot: z.string(),
      target: Text,
      half: Text,
      poured: Text,
      pouredU: Text,
      deviation: Text,
      percent: Text.nullable(),
      drops: Text.nullable(),
      mark: Mark,
    }),
  ),
  lots: z.array(z.strictObject({ lot: z.string(), name: z.string(), mass: Text })),
  cost: Text,
  unpriced: z.array(z.string()),
  /** From densities, as if volumes added up: g/mL, mL and a fraction by volume, at 20 °C. */
  estimates: z
    .strictObject({ density: Text, volume: Text, ethanolByVolume: Text, assumed: z.array(z.string()) })
    .nullable(),
});

/** What the figures count, by the codes of UCUM; fractions and shares are by mass where nothing else is said. */
const UNITS = {
  mass: 'g',
  fraction: '1',
  percent: '%',
  density: 'g/mL',
  volume: 'mL',
  settled: 'ms',
} as const;

const Units = z.strictObject({
  mass: z.literal(UNITS.mass),
  fraction: z.literal(UNITS.fraction),
  percent: z.literal(UNITS.percent),
  density: z.literal(UNITS.density),
  volume: z.literal(UNITS.volume),
  settled: z.literal(UNITS.settled),
});

/**
 * A record as a file: the facts of a batch, what it was made of, its events whole, and the figures that follow from
 * them. Masses in g and fractions by mass, as decimal text.
 */
export const RecordFile = z.strictObject({
  format: z.literal(RECORD_FORMAT),
  /** Absent in records of the first program. */
  units: Units.exactOptional(),
  batch: BatchFacts,
  /** Materials that are in the batch or were meant to be. */
  materials: z.array(Material),
  lots: z.array(Lot),
  pours: z.array(PourFacts),
  /** What was taken out of the vessel, a part of all that was in; absent where nothing was. */
  withdrawals: z.array(WithdrawalFacts).exactOptional(),
  asMade: AsMadeText,
  closure: ClosureText.nullable(),
  /** What was added to the record after the batch had ended; absent where nothing was. */
  amendments: z.array(AmendmentFacts).exactOptional(),
  events: z.array(StoredEventSchema).min(1),
  head: z.strictObject({ count: z.int().min(1), hash: Hash }),
  /** Of the canonical JSON (RFC 8785) of all the rest; absent where the maker does not sign. */
  signature: Signature.exactOptional(),
});
export type RecordFile = z.infer<typeof RecordFile>;

/** JSON Schema of a record file (draft 2020-12), as kept in record.schema.json. */
export function recordSchema(): object {
  return { title: 'Pourwright record', ...z.toJSONSchema(RecordFile, { target: 'draft-2020-12' }) };
}

/** Decimals of a figure that was divided. */
const DECIMALS = 12;
const text = (value: Decimal): string => fixed(value, Math.min(DECIMALS, value.decimalPlaces()));
const textOrNull = (value: Decimal | null): string | null => (value === null ? null : text(value));

/** An uncertainty, or what is only estimated: six figures, of which two or three say something. */
const rough = (value: Decimal | number): string => text(new Decimal(value).toSignificantDigits(6));

/** Writes masses with the digits of the balance's readability, and more where they have more. */
type MassText = (mass: Decimal) => string;
const massTextFor =
  (facts: StartFacts): MassText =>
  (mass) =>
    fixed(mass, Math.min(DECIMALS, Math.max(decimalsOf(facts.balance.limits.d), mass.decimalPlaces())));

/** Planned lots, and those of the shelf that were poured from. */
function lotsOf({ facts, pours }: Poured): StartFacts['lots'] {
  const used = new Set(pours.map((pour) => pour.lot));
  return [...facts.lots, ...(facts.shelf ?? []).filter((lot) => used.has(lot.code))];
}

/** What the as-made figures are computed from. */
export function asMadeInput(poured: Poured): AsMadeInput {
  const { facts } = poured;
  const pours = poured.pours.filter((pour) => !pour.voided);
  return {
    formula: facts.formula,
    materials: facts.materials,
    lots: facts.shelf === undefined ? facts.lots : [...facts.lots, ...facts.shelf],
    pours,
    withdrawals: poured.withdrawals.map(({ pour: last, before, after, taken }) => ({
      place: pours.filter((pour) => pour.pour <= last).length,
      before,
      after,
      taken,
    })),
    lines: poured.lines.map(({ step, target, half, mark }) => ({
      line: step.line,
      title: step.title,
      lot: step.lot,
      target,
      half,
      drop: decimal(step.drop),
      mark,
    })),
  };
}

function asMadeText(made: AsMade, uncertainty: AsMadeUncertainty, mass: MassText): Figures {
  const U = (one: Uncertain | undefined): string => rough(one?.expanded ?? 0);
  return {
    total: mass(made.total),
    totalU: U(uncertainty.total),
    strength: text(made.strength),
    strengthU: U(uncertainty.strength),
    strengthSources: uncertainty.strength.sources.map(({ kind, lot, share }) => ({
      kind,
      lot,
      share: rough(share),
    })),
    targetStrength: text(made.targetStrength),
    composition: made.composition.map((one) => ({
      ...one,
      fraction: text(one.fraction),
      fractionU: U(uncertainty.materials.get(one.material)),
      target: text(one.target),
    })),
    lines: made.lines.map((line) => ({
      line: line.line,
      title: line.title,
      lot: line.lot,
      target: mass(line.target),
      half: mass(line.half),
      poured: mass(line.poured),
      pouredU: U(uncertainty.lines.get(line.line)),
      deviation: mass(line.deviation),
      percent: textOrNull(line.relative?.times(100) ?? null),
      drops: textOrNull(line.drops),
      mark: line.mark,
    })),
    lots: made.lots.map((one) => ({ ...one, mass: mass(one.mass) })),
    cost: text(made.cost),
    unpriced: [...made.unpriced],
  };
}

type Figures = Omit<RecordFile['asMade'], 'estimates'>;

function estimatesText(estimates: Estimates | null): RecordFile['asMade']['estimates'] {
  if (estimates === null) return null;
  const { density, volume, ethanolByVolume, assumed } = estimates;
  return {
    density: rough(density),
    volume: rough(volume),
    ethanolByVolume: rough(ethanolByVolume),
    assumed: [...assumed],
  };
}

function closureText(closure: Closure | null): RecordFile['closure'] {
  return closure && { limit: rough(closure.limit), verdict: closure.verdict, text: closure.text };
}

function withdrawalsText({ withdrawals }: Poured, mass: MassText): Pick<RecordFile, 'withdrawals'> {
  if (withdrawals.length === 0) return {};
  return {
    withdrawals: withdrawals.map(({ before, after, taken, ...one }) => ({
      ...one,
      before: mass(before),
      after: mass(after),
      taken: mass(taken),
    })),
  };
}

function amendmentsText(events: readonly StoredEvent[]): Pick<RecordFile, 'amendments'> {
  const amendments = events.flatMap(({ n, at, event }) =>
    event.type === 'amended' ? [{ n, at, who: event.who, why: event.why, text: event.text }] : [],
  );
  return amendments.length === 0 ? {} : { amendments };
}

function batchFacts(poured: Poured, mass: MassText): RecordFile['batch'] {
  const { facts } = poured;
  return {
    id: poured.batch,
    name: facts.formula.name,
    formula: facts.formula.id,
    operator: facts.operator,
    started: poured.started,
    ended: poured.ended,
    status: poured.status,
    balance: structuredClone(facts.balance),
    scale: text(poured.scale),
    vessel: poured.vessel && mass(poured.vessel),
    gross: poured.gross && mass(poured.gross),
    closure: poured.closure && mass(poured.closure),
    ...(facts.follows === undefined ? {} : { follows: facts.follows }),
    ...(poured.followedBy === null ? {} : { followedBy: poured.followedBy }),
  };
}

/**
 * The record of a batch, all of it computed from its stored events.
 * @throws RangeError when the events are not those of a batch, or name a lot or material that is not in it
 * @throws z.ZodError when an event is not as the schema has it
 */
export function buildRecord(events: readonly StoredEvent[]): RecordFile {
  const poured = pouredOf(events);
  const input = asMadeInput(poured);
  const made = asMade(input);
  const { materials, balance } = poured.facts;
  const uncertainty = uncertaintyOf(input, balance.limits, made);
  const mass = massTextFor(poured.facts);
  const inside = new Set(made.composition.map((one) => one.material));
  return RecordFile.parse({
    format: RECORD_FORMAT,
    units: UNITS,
    batch: batchFacts(poured, mass),
    materials: materials.filter((material) => inside.has(material.key)),
    lots: lotsOf(poured),
    pours: poured.pours.map(({ verdict: _, before, after, net, stays, ...pour }) => ({
      ...pour,
      before: mass(before),
      after: mass(after),
      net: mass(net),
      ...(stays.eq(1) ? {} : { stays: text(stays) }),
    })),
    ...withdrawalsText(poured, mass),
    asMade: {
      ...asMadeText(made, uncertainty, mass),
      estimates: estimatesText(estimatesOf(made.composition, materials, made.total)),
    },
    closure: closureText(closureOf(poured, balance.limits)),
    ...amendmentsText(events),
    events,
    head: headOf(events),
  });
}
