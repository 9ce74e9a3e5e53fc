import Papa from 'papaparse';
import { Decimal } from '../../../core/quantity/decimal.ts';
import type { RecordFile } from '../../../core/record/record.ts';

const percent = (fraction: string): string => new Decimal(fraction).times(100).toDecimalPlaces(6).toFixed();

/**
 * The as-made record as CSV (RFC 4180): the lines, then the composition. Units stand in the headings; masses in g with
 * a decimal point. Cells that a spreadsheet would take for a formula are defused.
 */
export function recordCsv(record: RecordFile): string {
  const { batch, asMade } = record;
  const rows: string[][] = [
    ['batch', batch.name],
    ['record', batch.id],
    ['status', batch.status],
    ['started', batch.started],
    ['ended', batch.ended ?? ''],
    ['operator', batch.operator],
    ['balance', batch.balance.name],
    ...(batch.follows === undefined ? [] : [['begins anew record', batch.follows]]),
    ...(batch.followedBy === undefined ? [] : [['begun anew by record', batch.followedBy]]),
    ...(record.withdrawals ?? []).map((one) => [
      `withdrawn, ${one.from}, after pour ${one.pour} (g)`,
      one.taken,
    ]),
    ['total (g)', asMade.total],
    ['strength as made (% by mass)', percent(asMade.strength)],
    ['strength by formula (% by mass)', percent(asMade.targetStrength)],
    ['closure (g)', batch.closure ?? ''],
    ['events', String(record.head.count)],
    ['last event hash', record.head.hash],
    [],
    [
      'line',
      'lot',
      'target (g)',
      'half-window (g)',
      'poured (g)',
      'deviation (g)',
      'deviation (%)',
      'deviation (drops)',
      'state',
    ],
    ...asMade.lines.map((line) => [
      line.title,
      line.lot,
      line.target,
      line.half,
      line.poured,
      line.deviation,
      line.percent ?? '',
      line.drops ?? '',
      line.mark,
    ]),
    [],
    ['material', 'kind', 'as made (% by mass)', 'by formula (% by mass)'],
    ...asMade.composition.map((one) => [one.name, one.kind, percent(one.fraction), percent(one.target)]),
  ];
  return `${Papa.unparse(rows, { newline: '\r\n', escapeFormulae: /^[=+@\t\r]|^-(?!\d+(\.\d+)?$)/ })}\r\n`;
}
