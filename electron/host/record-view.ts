import { Decimal, decimal, decimalsOf, fixed, plain } from '../../core/quantity/decimal.ts';
import { declarationOf, type LabellingTable, type ProductUse } from '../../core/record/declaration.ts';
import { buildRecord, type RecordFile } from '../../core/record/record.ts';
import { strengthWindow } from '../../core/record/strength-window.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import { eventText } from '../../core/record/words.ts';
import { cautionsOf, notAsPlanned, signedTo } from './documents/record-figures.ts';
import { statusOf } from './records.ts';
import { type Journal, sha256 } from './store/journal.ts';
import type { Store } from './store/store.ts';
import type { DeclarationView, RecordView } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { percent } from './view/figures.ts';

type AsMade = RecordFile['asMade'];
type Line = AsMade['lines'][number];

/** An expanded uncertainty as shown: two significant digits. */
const spread = (u: Decimal): string => `± ${plain(u.toSignificantDigits(2))}`;
const short = (value: Decimal, digits = 4): string => plain(value.toSignificantDigits(digits));

function lineView(line: Line, decimals: number): RecordView['lines'][number] {
  return {
    line: line.line,
    title: line.title,
    lot: line.lot,
    target: fixed(decimal(line.target), decimals),
    window: `± ${fixed(decimal(line.half), decimals)} g`,
    poured: fixed(decimal(line.poured), decimals),
    u: `${spread(decimal(line.pouredU))} g`,
    deviation: signedTo(line.deviation, decimals),
    percent: line.percent === null ? '–' : `${signedTo(line.percent, 2)} %`,
    drops: line.drops === null ? '–' : signedTo(line.drops, 1),
    mark: line.mark,
  };
}

/** From which pours the mass of one material was summed. */
function materialWorkings(key: string, fraction: string, record: RecordFile): string[] {
  const { asMade, lots } = record;
  const parts = asMade.lots.flatMap(({ lot, name, mass }) => {
    const w = lots.find((one) => one.code === lot)?.composition[key];
    if (w === undefined || decimal(w).isZero()) return [];
    return [{ text: `${mass} g of ${name} (${lot}) × ${w}`, mass: decimal(mass).times(w) }];
  });
  if (parts.length === 0) return ['Nothing of it was poured.'];
  const sum = parts.reduce((total, part) => total.plus(part.mass), new Decimal(0));
  return [
    ...parts.map((part) => `${part.text} = ${short(part.mass, 6)} g`),
    `${short(sum, 6)} g ÷ ${asMade.total} g in all = ${percent(decimal(fraction), 3)}`,
  ];
}

const SOURCE: Readonly<Record<AsMade['strengthSources'][number]['kind'], string>> = {
  readings: 'the readings of the balance',
  calibration: 'the calibration of the balance',
  lot: 'the strength of lot',
};

function strengthWorkings(record: RecordFile): string[] {
  const { asMade } = record;
  const neat = asMade.composition.filter((one) => one.kind === 'neat' && !decimal(one.fraction).isZero());
  return [
    `Strength is the mass fraction of everything neat: ${neat.map((one) => `${one.name} ${percent(decimal(one.fraction), 3)}`).join(' + ')} = ${percent(decimal(asMade.strength), 3)}.`,
    `U (k = 2) by the law of propagation, with the gross readings that neighbouring pours share: ${spread(decimal(asMade.strengthU).times(100))} %.`,
    ...asMade.strengthSources.map(
      (source) =>
        `${percent(decimal(source.share), 1)} of its variance from ${SOURCE[source.kind]}${source.lot === null ? '' : ` ${source.lot}`}.`,
    ),
  ];
}

/** Strength among what the windows of the lines allow. */
function scaleView({ asMade, lots, materials }: RecordFile): RecordView['strength']['scale'] {
  const solvents = new Set(materials.filter(({ kind }) => kind === 'solvent').map(({ key }) => key));
  const neatIn = (code: string): Decimal =>
    Object.entries(lots.find((lot) => lot.code === code)?.composition ?? {})
      .filter(([material]) => !solvents.has(material))
      .reduce((sum, [, w]) => sum.plus(w), new Decimal(0));
  const window = strengthWindow(
    asMade.lines.map(({ target, half, lot }) => ({
      target: decimal(target),
      half: decimal(half),
      neat: neatIn(lot),
    })),
  );
  if (window === null || !decimal(asMade.total).gt(0)) return null;
  return {
    made: asMade.strength,
    u: asMade.strengthU,
    target: asMade.targetStrength,
    low: plain(window.low.toDecimalPlaces(8)),
    high: plain(window.high.toDecimalPlaces(8)),
  };
}

function estimatesView({ asMade }: RecordFile): RecordView['estimates'] {
  const { estimates } = asMade;
  if (estimates === null) return null;
  const assumed =
    estimates.assumed.length === 0
      ? ''
      : ` Density not entered, and assumed, for ${estimates.assumed.join(', ')}.`;
  return {
    density: `${decimal(estimates.density).toFixed(3)} g/mL`,
    volume: `${decimal(estimates.volume).toFixed(1)} mL`,
    ethanol: `${decimal(estimates.ethanolByVolume).times(100).toFixed(1)} % vol`,
    note: `Estimates at 20 °C from the densities of the parts, as if volumes added up; not measured.${assumed}`,
  };
}

function verifiedView(record: RecordFile): RecordView['verified'] {
  const verdict = verifyRecord(sha256, record);
  const first = verdict.problems[0];
  return first === undefined
    ? { ok: true, text: `${record.head.count} events, chain and figures recomputed: nothing differs.` }
    : { ok: false, text: `${first.where}: ${first.what}` };
}

function costText({ cost, unpriced }: AsMade): string {
  const sum = decimal(cost).toFixed(2);
  return unpriced.length === 0 ? sum : `${sum}, without ${unpriced.join(', ')}: no price entered`;
}

/** The record of a batch from its stored events. @throws HostTrouble when there is no such batch */
export function recordOf(journal: Journal, batch: string): RecordFile {
  const events = journal.events(batch);
  if (events.length === 0)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  return buildRecord(events);
}

function eventsView(record: RecordFile): RecordView['events'] {
  const titles = new Map(record.asMade.lines.map((line) => [line.line, line.title]));
  return record.events.map((one) => ({
    n: one.n,
    at: one.at,
    text: eventText(one.event, (line) => titles.get(line) ?? line),
  }));
}

/**
 * One record as shown, recomputed from its stored events.
 * @throws HostTrouble when there is no such batch
 */
export function recordView(
  { journal, catalog }: Pick<Store, 'journal' | 'catalog'>,
  batch: string,
): RecordView {
  const record = recordOf(journal, batch);
  const { asMade } = record;
  const decimals = decimalsOf(record.batch.balance.limits.d);
  const row = catalog.row(batch);
  const poured = decimal(asMade.total).gt(0);
  return {
    batch,
    name: record.batch.name,
    started: record.batch.started,
    status: row === null ? record.batch.status : statusOf(row),
    total: fixed(decimal(asMade.total), decimals),
    operator: record.batch.operator,
    balance: record.batch.balance.name,
    serial: record.batch.balance.serial ?? null,
    check: record.batch.balance.check ?? null,
    formula: record.batch.formula,
    strength: {
      asMade: poured ? percent(decimal(asMade.strength)) : '–',
      u: poured ? `${spread(decimal(asMade.strengthU).times(100))} %` : '–',
      target: percent(decimal(asMade.targetStrength)),
      scale: scaleView(record),
      workings: strengthWorkings(record),
    },
    closure: record.batch.closure,
    closureText: record.closure?.text ?? null,
    estimates: estimatesView(record),
    cost: costText(asMade),
    lots: asMade.lots.map((one) => ({ ...one })),
    lines: asMade.lines.map((line) => lineView(line, decimals)),
    composition: asMade.composition.map((one) => ({
      material: one.name,
      kind: one.kind,
      percent: percent(decimal(one.fraction), 3),
      fraction: one.fraction,
      u: `${spread(decimal(one.fractionU).times(100))} %`,
      target: percent(decimal(one.target), 3),
      workings: materialWorkings(one.material, one.fraction, record),
    })),
    events: eventsView(record),
    notAsPlanned: notAsPlanned(record),
    cautions: cautionsOf(record),
    amendments: record.events.flatMap(({ n, at, event }) =>
      event.type === 'amended' ? [{ n, at, who: event.who, why: event.why, text: event.text }] : [],
    ),
    verified: verifiedView(record),
  };
}

/**
 * Constituents of the finished product against the labelling thresholds, and supplier limits, for a batch dosed at
 * `dose` (mass fraction, above 0 and at most 1). Never an assessment of safety.
 * @throws HostTrouble when the dose is out of range
 */
export function declarationView(
  record: RecordFile,
  ask: { readonly use: ProductUse; readonly dose: string },
  table: LabellingTable,
): DeclarationView {
  const dose = decimal(ask.dose);
  if (!dose.gt(0) || dose.gt(1))
    throw new HostTrouble(
      `A dose of ${percent(dose)} is not above 0 and at most 100 %.`,
      'dose',
      'Give the share of this batch in the finished product.',
    );
  const composition = record.asMade.composition.map((one) => ({
    material: one.material,
    fraction: decimal(one.fraction),
  }));
  const found = declarationOf({ composition, materials: record.materials, dose, use: ask.use, table });
  const names = new Map(record.materials.map((one) => [one.key, one.name]));
  const nameOf = (key: string): string => names.get(key) ?? key;
  return {
    threshold: `${short(found.threshold.times(100))} %`,
    constituents: found.constituents.map((one) => ({
      name: one.name,
      cas: one.cas,
      percent: `${short(one.fraction.times(100), 3)} %`,
      declare: one.declare,
      listing: one.listing,
      remark: one.remark,
      from: one.from.map((part) => `${nameOf(part.material)} ${short(part.fraction.times(100), 3)} %`),
    })),
    limits: found.limits.map((one) => ({
      name: one.name,
      percent: `${short(one.fraction.times(100), 3)} %`,
      limit: `${short(one.limit.times(100), 3)} %`,
      document: `${one.document}, ${one.date}`,
      exceeded: one.exceeded,
      highestDose: `${short(one.highestDose.times(100), 3)} %`,
    })),
    highestDose: found.highestDose === null ? null : `${short(found.highestDose.times(100), 3)} %`,
    unknown: found.unknown.map(nameOf),
    note: found.note,
  };
}
