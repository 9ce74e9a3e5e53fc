import { describe, expect, it } from 'vitest';
import {
  AGAIN_AFTER_MS,
  admits,
  CUES,
  cueOf,
  type Heard,
  handOf,
  lengthOf,
  PATTERNS,
} from '../../../renderer/state/sounds.ts';

const quiet: Heard = {
  standing: 'approach',
  hand: 'free',
  solid: false,
  lost: false,
  refused: false,
  stopped: false,
  line: 'a',
};

describe('sounds of the bench', () => {
  it('tell a change once, not a state that lasts', () => {
    const over: Heard = { ...quiet, standing: 'over' };
    expect(cueOf(quiet, over)).toBe('over');
    expect(cueOf(over, over)).toBeNull();
    expect(cueOf(quiet, { ...quiet, hand: 'near' })).toBe('near');
    expect(cueOf(quiet, { ...quiet, hand: 'stop' })).toBe('stop');
    expect(cueOf(quiet, { ...quiet, standing: 'inside' })).toBe('inside');
    expect(cueOf(quiet, { ...quiet, solid: true })).toBe('settled');
    expect(cueOf(quiet, { ...quiet, refused: true })).toBe('stop');
    expect(cueOf(quiet, { ...quiet, stopped: true })).toBe('stop');
    expect(cueOf({ ...quiet, stopped: true }, { ...quiet, stopped: true })).toBeNull();
  });

  it('follow what the hand is led to do', () => {
    expect((['stream', 'slow', 'count', 'touch-off', 'pause', 'stop', null] as const).map(handOf)).toEqual([
      'free',
      'near',
      'near',
      'near',
      'stop',
      'stop',
      'free',
    ]);
  });

  it('do not tell "near" when the hand goes on after a pause', () => {
    expect(cueOf({ ...quiet, hand: 'stop' }, { ...quiet, hand: 'near' })).toBeNull();
  });

  it('tell the gravest where several things change at once', () => {
    expect(cueOf(quiet, { ...quiet, standing: 'over', hand: 'stop', solid: true })).toBe('over');
    expect(cueOf(quiet, { ...quiet, standing: 'over', lost: true })).toBe('lost');
    expect(cueOf(quiet, { ...quiet, standing: 'inside', hand: 'stop' })).toBe('inside');
  });

  it('say nothing of a lost balance again while it stays lost', () => {
    const lost: Heard = { ...quiet, lost: true };
    expect(cueOf(lost, { ...lost, solid: true })).toBeNull();
  });

  it('say nothing only because another bottle came', () => {
    expect(cueOf(quiet, { ...quiet, line: 'b', hand: 'near' })).toBeNull();
    expect(cueOf(quiet, { ...quiet, line: null, solid: true })).toBeNull();
  });

  it('differ by their pattern of pitch and time', () => {
    expect(new Set(CUES.map((cue) => JSON.stringify(PATTERNS[cue]))).size).toBe(CUES.length);
  });

  it('are not told again within 400 ms, though the reading crosses an edge to and fro', () => {
    const told = { cue: 'inside', at: 1000 } as const;
    expect(admits(told, 'inside', 1000 + AGAIN_AFTER_MS - 1)).toBe(false);
    expect(admits(told, 'inside', 1000 + AGAIN_AFTER_MS)).toBe(true);
    expect(admits(null, 'inside', 0)).toBe(true);
  });

  it('let a graver one in at once and a lesser one only when it is quiet again', () => {
    const told = { cue: 'stop', at: 0 } as const;
    expect(admits(told, 'over', 10)).toBe(true);
    expect(admits(told, 'settled', 10)).toBe(false);
    expect(admits(told, 'settled', lengthOf('stop') * 1000)).toBe(true);
  });
});
