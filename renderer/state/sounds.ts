import { computed } from '@preact/signals';
import { cue, link, notice, pour, solid, standing, unread } from './bench.ts';
import { refusal } from './bottle.ts';

/** What is told by sound, told apart by pattern and not by loudness; the gravest first. */
export const CUES = ['lost', 'over', 'stop', 'inside', 'near', 'settled'] as const;
export type Cue = (typeof CUES)[number];

/** One tone of a pattern: hertz, and seconds from the pattern's start and of its length. */
export interface Tone {
  readonly pitch: number;
  readonly at: number;
  readonly lasts: number;
}

const tone = (pitch: number, at: number, lasts = 0.09): Tone => ({ pitch, at, lasts });

/** Three slow low ones; two steps down, twice; three quick high ones; a step up; two ticks; one long tone. */
export const PATTERNS: Readonly<Record<Cue, readonly Tone[]>> = {
  lost: [tone(196, 0, 0.2), tone(196, 0.32, 0.2), tone(196, 0.64, 0.2)],
  over: [tone(440, 0), tone(294, 0.13, 0.14), tone(440, 0.36), tone(294, 0.49, 0.14)],
  stop: [tone(988, 0, 0.07), tone(988, 0.1, 0.07), tone(988, 0.2, 0.07)],
  inside: [tone(523, 0), tone(784, 0.13, 0.16)],
  near: [tone(660, 0, 0.05), tone(660, 0.12, 0.05)],
  settled: [tone(587, 0, 0.3)],
};

/** What a pattern is told for, in words. */
export const CUE_WORDS: Readonly<Record<Cue, string>> = {
  lost: 'lost',
  over: 'over',
  stop: 'pause, stop',
  inside: 'inside',
  near: 'near',
  settled: 'settled',
};

/** Seconds from a pattern's first tone to the end of its last. */
export const lengthOf = (one: Cue): number => Math.max(...PATTERNS[one].map(({ at, lasts }) => at + lasts));

/** The same pattern is not told again within this time, milliseconds. */
export const AGAIN_AFTER_MS = 400;

/** What sound has to tell of one moment. */
export interface Heard {
  readonly standing: 'approach' | 'inside' | 'over' | 'none';
  /** What the hand is led to do: slower or counted, or nothing more for now. */
  readonly hand: 'free' | 'near' | 'stop';
  readonly solid: boolean;
  readonly lost: boolean;
  /** A bottle was scanned that is not the right one. */
  readonly refused: boolean;
  /** Something stops the pour of the line in hand: no weight on the display, the vessel off. */
  readonly stopped: boolean;
  /** The line being poured, so that nothing is told only because another bottle came. */
  readonly line: string | null;
}

/** What the cue of the host asks of the hand, as far as sound tells it. */
export function handOf(
  asked: 'stream' | 'slow' | 'pause' | 'count' | 'touch-off' | 'stop' | null,
): Heard['hand'] {
  if (asked === 'pause' || asked === 'stop') return 'stop';
  return asked === null || asked === 'stream' ? 'free' : 'near';
}

/** The moment as it is now. */
export const heard = computed<Heard>(() => {
  const now = pour.value?.now ?? null;
  const line = pour.value?.phase === 'pouring' || pour.value?.phase === 'over' ? (now?.line ?? null) : null;
  return {
    standing: standing.value,
    hand: handOf(cue.value),
    solid: solid.value && !unread.value,
    lost: link.value === 'lost' || link.value === 'silent',
    refused: refusal.value !== null,
    stopped: line !== null && notice.value?.level === 'stop',
    line,
  };
});

/** The sound that a change from one moment to the next calls for; the gravest where several do. */
export function cueOf(before: Heard, now: Heard): Cue | null {
  if (now.lost) return before.lost ? null : 'lost';
  if ((now.refused && !before.refused) || (now.stopped && !before.stopped)) return 'stop';
  if (now.standing === 'over' && before.standing !== 'over') return 'over';
  if (now.standing === 'inside' && before.standing !== 'inside') return 'inside';
  if (now.line === null || now.line !== before.line) return null;
  if (now.hand === 'stop' && before.hand !== 'stop' && now.standing === 'approach' && !now.solid)
    return 'stop';
  if (now.solid && !before.solid) return 'settled';
  return now.hand === 'near' && before.hand === 'free' ? 'near' : null;
}

/** What was told last, and when in milliseconds. */
export interface Told {
  readonly cue: Cue;
  readonly at: number;
}

/**
 * Whether a pattern is told now: not the same again within 400 ms, and nothing lesser into a graver one that
 * still sounds.
 */
export function admits(last: Told | null, one: Cue, at: number): boolean {
  if (last === null) return true;
  const since = at - last.at;
  if (one === last.cue) return since >= AGAIN_AFTER_MS;
  return CUES.indexOf(one) < CUES.indexOf(last.cue) || since >= lengthOf(last.cue) * 1000;
}
