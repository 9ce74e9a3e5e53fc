import { Decimal, decimal, decimalsOf, fixed } from '../../core/quantity/decimal.ts';
import { buildRecord, type RecordFile } from '../../core/record/record.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import { eventText } from '../../core/record/words.ts';
import { type BatchRow, type Journal, sha256 } from './store/journal.ts';
import type { RecordRow, RecordView } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { percent } from './view/figures.ts';

const statusOf = (row: BatchRow): RecordRow['status'] => (row.status === 'open' ? 'interrupted' : row.status);

/** Every batch, the latest first. */
export function recordRows(journal: Journal): RecordRow[] {
  return journal.batches().map((row) => ({
    batch: row.id,
    name: row.name,
    started: row.started,
    status: statusOf(row),
    total: row.total,
  }));
}

type Line = RecordFile['asMade']['lines'][number];

function lineView(line: Line, decimals: number): RecordView['lines'][number] {
  const deviation = decimal(line.deviation);
  const sign = deviation.gt(0) ? '+' : '';
  return {
    line: line.line,
    title: line.title,
    lot: line.lot,
    target: fixed(decimal(line.target), decimals),
    poured: fixed(decimal(line.poured), decimals),
    deviation: fixed(deviation, decimals),
    percent: line.percent === null ? '–' : `${sign}${decimal(line.percent).toFixed(2)} %`,
    drops: line.drops === null ? '–' : `${sign}${decimal(line.drops).toFixed(1)}`,
    mark: line.mark,
  };
}

function verifiedView(record: RecordFile): RecordView['verified'] {
  const verdict = verifyRecord(sha256, record);
  const first = verdict.problems[0];
  return first === undefined
    ? { ok: true, text: `${record.head.count} events, chain and figures recomputed: nothing differs.` }
    : { ok: false, text: `${first.where}: ${first.what}` };
}

/**
 * One record as shown, recomputed from its stored events.
 * @throws HostTrouble when there is no such batch
 */
export function recordView(journal: Journal, batch: string): RecordView {
  const events = journal.events(batch);
  const row = journal.batches().find((one) => one.id === batch);
  if (row === undefined || events.length === 0)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  const record = buildRecord(events);
  const { asMade } = record;
  const decimals = decimalsOf(record.batch.balance.limits.d);
  const titles = new Map(asMade.lines.map((line) => [line.line, line.title]));
  return {
    batch,
    name: row.name,
    started: row.started,
    status: statusOf(row),
    total: fixed(decimal(asMade.total), decimals),
    operator: record.batch.operator,
    balance: record.batch.balance.name,
    strength: {
      asMade: percent(new Decimal(asMade.strength)),
      target: percent(new Decimal(asMade.targetStrength)),
    },
    closure: record.batch.closure,
    lines: asMade.lines.map((line) => lineView(line, decimals)),
    composition: asMade.composition.map((one) => ({
      material: one.name,
      kind: one.kind,
      percent: percent(decimal(one.fraction), 3),
      target: percent(decimal(one.target), 3),
    })),
    events: events.map((one) => ({
      n: one.n,
      at: one.at,
      text: eventText(one.event, (line) => titles.get(line) ?? line),
    })),
    verified: verifiedView(record),
  };
}
