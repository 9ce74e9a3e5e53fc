import { describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { fold } from '../../../core/pour/evolve.ts';
import { AmendRefusal, amended } from '../../../core/record/amend.ts';
import { buildRecord } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { eventText } from '../../../core/record/words.ts';
import { sha256, stored, wholeBatch } from './batch.ts';

const note: PourEvent = { type: 'amended', who: 'Ada', why: 'typed wrongly', text: 'The operator was Bea.' };

const refusal = (act: () => unknown): AmendRefusal => {
  try {
    act();
  } catch (cause) {
    if (cause instanceof AmendRefusal) return cause;
    throw cause;
  }
  throw new Error('it was amended');
};

describe('amending an ended batch', () => {
  it('adds an event and changes no figure', () => {
    const before = buildRecord(stored(wholeBatch));
    const after = buildRecord(stored([...wholeBatch, note]));
    expect(after.asMade).toEqual(before.asMade);
    expect(after.batch).toEqual(before.batch);
    expect(after.head.count).toBe(before.head.count + 1);
    expect(after.amendments).toEqual([
      {
        n: wholeBatch.length + 1,
        at: stored([...wholeBatch, note]).at(-1)?.at,
        who: 'Ada',
        why: 'typed wrongly',
        text: 'The operator was Bea.',
      },
    ]);
    expect(before.amendments).toBeUndefined();
  });

  it('is told in words and leaves the state as it was', () => {
    expect(eventText(note)).toBe('Amended by Ada, because typed wrongly: The operator was Bea.');
    expect(fold([...wholeBatch, note])).toEqual(fold(wholeBatch));
  });

  it('is covered by verify: in the chain and in the list', () => {
    const record = buildRecord(stored([...wholeBatch, note]));
    expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
    const { amendments: _, ...without } = record;
    expect(verifyRecord(sha256, without).problems[0]?.where).toBe('amendments');
    const edited = structuredClone(record);
    const last = edited.events.at(-1);
    if (last?.event.type === 'amended') last.event.text = 'The operator was Cid.';
    expect(verifyRecord(sha256, edited).problems[0]?.what).toContain(
      `event ${wholeBatch.length + 1} was altered`,
    );
  });

  it('trims what was typed', () => {
    expect(amended(stored(wholeBatch), { who: ' Ada ', why: 'typed wrongly\n', text: ' x ' })).toEqual({
      type: 'amended',
      who: 'Ada',
      why: 'typed wrongly',
      text: 'x',
    });
  });

  it('refuses an open batch, an empty field and one that is too long, naming the field', () => {
    const good = { who: 'Ada', why: 'because', text: 'note' };
    expect(refusal(() => amended(stored(wholeBatch.slice(0, -1)), good)).where).toBe('batch');
    expect(refusal(() => amended(stored(wholeBatch), { ...good, why: '  ' })).where).toBe('why');
    expect(refusal(() => amended(stored(wholeBatch), { ...good, who: 'x'.repeat(81) })).where).toBe('who');
  });
});
