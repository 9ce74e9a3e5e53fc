import { describe, expect, it } from 'vitest';
import {
  afterText,
  maturing,
  NO_TRIAL,
  remindersOf,
  type Trial,
  type TrialNote,
} from '../../../core/record/trial.ts';

const DIPPED = '2026-11-25T09:00:00.000Z';
const trial: Trial = {
  ...NO_TRIAL,
  blotters: [
    { id: 'a', name: 'A', at: DIPPED, minutes: [15, 60, 1440] },
    { id: 'b', name: 'B', at: '2026-11-25T09:30:00.000Z', minutes: [15] },
  ],
  letGo: [{ blotter: 'b', minute: 15 }],
};
const note = (of: TrialNote['of'], matured = false): TrialNote => ({ who: 'Ada', text: 'dry', of, matured });
const at = (text: string): number => Date.parse(text);

describe('reminders of blotters', () => {
  it('wait until their time after dipping, are due then, and end with a note or when let go', () => {
    const states = (now: string, notes: readonly TrialNote[] = []) =>
      remindersOf(trial, notes, at(now)).map((one) => [one.blotter.id, one.minute, one.state]);
    expect(states('2026-11-25T09:14:59.999Z')).toEqual([
      ['a', 15, 'waits'],
      ['b', 15, 'let go'],
      ['a', 60, 'waits'],
      ['a', 1440, 'waits'],
    ]);
    expect(states('2026-11-25T10:00:00.000Z')[0]).toEqual(['a', 15, 'due']);
    expect(states('2026-11-25T10:00:00.000Z')[2]).toEqual(['a', 60, 'due']);
    const noted = states('2026-11-27T00:00:00.000Z', [note({ blotter: 'a', minute: 15 })]);
    expect(noted.map(([, , state]) => state)).toEqual(['noted', 'let go', 'due', 'due']);
  });

  it('are not ended by a note of the blotter at no time, nor of another', () => {
    const [first] = remindersOf(
      trial,
      [note({ blotter: 'a', minute: null }), note({ blotter: 'b', minute: 15 }), note(null)],
      at('2026-11-25T12:00:00.000Z'),
    );
    expect(first).toMatchObject({ minute: 15, state: 'due', due: '2026-11-25T09:15:00.000Z' });
  });
});

describe('maturing', () => {
  it('is due from its day on, until a note of the matured batch', () => {
    const set: Trial = { ...NO_TRIAL, matures: '2026-12-24' };
    expect(maturing(NO_TRIAL, [], '2026-12-24')).toBeNull();
    expect(maturing(set, [], '2026-12-23')).toBe('waits');
    expect(maturing(set, [note(null)], '2026-12-24')).toBe('due');
    expect(maturing(set, [note(null, true)], '2027-01-01')).toBe('noted');
  });
});

describe('a time after dipping', () => {
  it('is told in the unit a person would say', () => {
    expect([15, 60, 90, 240, 1440, 2880].map(afterText)).toEqual([
      '15 min',
      '1 h',
      '90 min',
      '4 h',
      '24 h',
      '2 days',
    ]);
  });
});
