import type { RecordFile } from '../../../core/record/record.ts';
import { type CsvCell, csv, type DecimalSign, figure, percentFigure } from './csv.ts';

type Row = readonly CsvCell[];

function headRows({ batch, asMade, head, withdrawals }: RecordFile): Row[] {
  return [
    ['batch', batch.name],
    ['record', batch.id],
    ['status', batch.status],
    ['started', batch.started],
    ['ended', batch.ended ?? ''],
    ['operator', batch.operator],
    ['balance', batch.balance.name],
    ...(batch.follows === undefined ? [] : [['begins anew record', batch.follows]]),
    ...(batch.followedBy === undefined ? [] : [['begun anew by record', batch.followedBy]]),
    ...(withdrawals ?? []).map((one) => [
      `withdrawn, ${one.from}, after pour ${one.pour} (g)`,
      figure(one.taken),
    ]),
    ['total (g)', figure(asMade.total)],
    ['U of total, k = 2 (g)', figure(asMade.totalU)],
    ['strength as made (% by mass)', percentFigure(asMade.strength)],
    ['U of strength, k = 2 (% by mass)', percentFigure(asMade.strengthU)],
    ['strength by formula (% by mass)', percentFigure(asMade.targetStrength)],
    ['closure (g)', figure(batch.closure)],
    ['events', figure(String(head.count))],
    ['last event hash', head.hash],
  ];
}

const LINES = [
  'line',
  'lot',
  'target (g)',
  'half-window (g)',
  'poured (g)',
  'U, k = 2 (g)',
  'deviation (g)',
  'deviation (%)',
  'deviation (drops)',
  'state',
];

function lineRows({ asMade }: RecordFile): Row[] {
  return asMade.lines.map((line) => [
    line.title,
    line.lot,
    figure(line.target),
    figure(line.half),
    figure(line.poured),
    figure(line.pouredU),
    figure(line.deviation),
    figure(line.percent),
    figure(line.drops),
    line.mark,
  ]);
}

const PARTS = ['material', 'kind', 'as made (% by mass)', 'U, k = 2 (% by mass)', 'by formula (% by mass)'];

function partRows({ asMade }: RecordFile): Row[] {
  return asMade.composition.map((one) => [
    one.name,
    one.kind,
    percentFigure(one.fraction),
    percentFigure(one.fractionU),
    percentFigure(one.target),
  ]);
}

function amendmentRows({ amendments }: RecordFile): Row[] {
  if (amendments === undefined) return [];
  return [
    [],
    ['amended', 'by', 'because', 'text'],
    ...amendments.map(({ at, who, why, text }) => [at, who, why, text]),
  ];
}

/**
 * The as-made record as CSV: what it is, then the lines, then the composition, then what was amended. Units stand in
 * the headings.
 */
export function recordCsv(record: RecordFile, sign: DecimalSign = 'point'): string {
  const rows = [
    ...headRows(record),
    [],
    LINES,
    ...lineRows(record),
    [],
    PARTS,
    ...partRows(record),
    ...amendmentRows(record),
  ];
  return csv(rows, sign);
}
