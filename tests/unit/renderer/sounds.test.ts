import { describe, expect, it } from 'vitest';
import { CUES, cueOf, type Heard, PATTERNS } from '../../../renderer/state/sounds.ts';

const quiet: Heard = { standing: 'approach', near: false, solid: false, lost: false, line: 'a' };

describe('sounds of the bench', () => {
  it('tell a change once, not a state that lasts', () => {
    const over: Heard = { ...quiet, standing: 'over' };
    expect(cueOf(quiet, over)).toBe('over');
    expect(cueOf(over, over)).toBeNull();
    expect(cueOf(quiet, { ...quiet, near: true })).toBe('near');
    expect(cueOf(quiet, { ...quiet, standing: 'inside' })).toBe('inside');
    expect(cueOf(quiet, { ...quiet, solid: true })).toBe('settled');
  });

  it('tell the gravest where several things change at once', () => {
    expect(cueOf(quiet, { ...quiet, standing: 'over', solid: true })).toBe('over');
    expect(cueOf(quiet, { ...quiet, standing: 'over', lost: true })).toBe('lost');
  });

  it('say nothing of a lost balance again while it stays lost', () => {
    const lost: Heard = { ...quiet, lost: true };
    expect(cueOf(lost, { ...lost, solid: true })).toBeNull();
  });

  it('say nothing only because another bottle came', () => {
    expect(cueOf(quiet, { ...quiet, line: 'b', near: true })).toBeNull();
    expect(cueOf(quiet, { ...quiet, line: null, solid: true })).toBeNull();
  });

  it('differ by their pattern of pitch and time', () => {
    expect(new Set(CUES.map((cue) => JSON.stringify(PATTERNS[cue]))).size).toBe(CUES.length);
  });
});
