import { describe, expect, it } from 'vitest';
import { chosenVoice } from '../../../renderer/parts/voice.ts';
import { sayingOf, spelled } from '../../../renderer/state/saying.ts';

const next = {
  title: 'Lavender oil',
  lot: 'LA-33',
  note: 'top',
  family: 'aromatics',
  target: '2.10',
  topUp: false,
  cautions: ['Neat oil: wear gloves.'],
};
const view = { batch: 'b', phase: 'bottle', paused: false, next, ladder: [], now: null } as const;
const voiceOf = (lang: string, localService: boolean, isDefault = false) => ({
  lang,
  localService,
  default: isDefault,
});

describe('the next step, spoken', () => {
  it('names what to fetch, its lot letter by letter, how much, and what to mind', () => {
    expect(sayingOf({ ...view, ladder: [], next: { ...next, cautions: [...next.cautions] } })?.text).toBe(
      'Next: Lavender oil, lot L A 3 3, 2.10 grams. Neat oil: wear gloves.',
    );
    expect(spelled('GU-02-10')).toBe('G U 0 2 1 0');
  });

  it('is the same step while it lasts, and another for a top-up of the same lot', () => {
    const first = sayingOf({ ...view, ladder: [], next: { ...next, cautions: [] } });
    const again = sayingOf({ ...view, ladder: [], next: { ...next, cautions: ['more'] } });
    const topUp = sayingOf({
      ...view,
      ladder: [],
      next: { ...next, cautions: [], target: '0.31', topUp: true },
    });
    expect(again?.step).toBe(first?.step);
    expect(topUp?.step).not.toBe(first?.step);
    expect(topUp?.text).toContain('0.31 grams to top up');
  });

  it('says nothing while a line is poured or the batch is paused', () => {
    expect(sayingOf({ ...view, ladder: [], next: null, phase: 'pouring' })).toBeNull();
    expect(sayingOf({ ...view, ladder: [], next: { ...next, cautions: [] }, paused: true })).toBeNull();
    expect(sayingOf(null)).toBeNull();
  });

  it('asks for a choice past the window, and at the end does not say that every line is in', () => {
    const over = sayingOf({ ...view, ladder: [], next: null, phase: 'over' });
    expect(over?.text).toBe('Past the window. Choose how to go on.');
    expect(sayingOf({ ...view, ladder: [], next: null, phase: 'closing' })?.text).toBe(
      'Stir, rod out. Then close the batch.',
    );
  });

  it('takes an English voice of the machine, never one that sends the words away', () => {
    expect(chosenVoice([voiceOf('en-GB', false, true), voiceOf('de-DE', true)])).toBeNull();
    const own = voiceOf('en-GB', true);
    const usual = voiceOf('en-US', true, true);
    expect(chosenVoice([own, usual])).toBe(usual);
    expect(chosenVoice([own])).toBe(own);
  });
});
