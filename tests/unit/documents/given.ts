import type { PourEvent } from '../../../core/pour/events.ts';
import { buildRecord, type RecordFile } from '../../../core/record/record.ts';
import { facts, lots, stored, wholeBatch } from '../record/batch.ts';

/** The whole batch under a name of many alphabets, amended once. */
export const wideEvents: PourEvent[] = [
  {
    type: 'started',
    ...facts,
    operator: 'Евгения Ång',
    formula: { ...facts.formula, name: 'Été № 7: Пион, 薔薇 & Ελιά' },
    lots: lots.map((lot) => (lot.code === 'C50' ? { ...lot, name: 'Kiefer „süß“ Tiếng Việt' } : lot)),
  },
  ...wholeBatch.slice(1),
  { type: 'amended', who: '山田 花子', why: 'имя', text: 'The lid says "Été".' },
];

export const wideRecord: RecordFile = buildRecord(stored(wideEvents));
export const plainRecord: RecordFile = buildRecord(stored(wholeBatch));
