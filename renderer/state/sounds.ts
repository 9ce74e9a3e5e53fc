import { computed } from '@preact/signals';
import { link, pour, solid, standing, unread } from './bench.ts';

/** What is told by sound, told apart by pattern and not by loudness. */
export const CUES = ['near', 'inside', 'over', 'settled', 'lost'] as const;
export type Cue = (typeof CUES)[number];

/** One tone of a pattern: hertz, and seconds from the pattern's start and of its length. */
export interface Tone {
  readonly pitch: number;
  readonly at: number;
  readonly lasts: number;
}

const tone = (pitch: number, at: number, lasts = 0.09): Tone => ({ pitch, at, lasts });

/** Two ticks; a step up; two steps down, twice; one long tone; three slow low ones. */
export const PATTERNS: Readonly<Record<Cue, readonly Tone[]>> = {
  near: [tone(660, 0, 0.05), tone(660, 0.12, 0.05)],
  inside: [tone(523, 0), tone(784, 0.13, 0.16)],
  over: [tone(440, 0), tone(294, 0.13, 0.14), tone(440, 0.36), tone(294, 0.49, 0.14)],
  settled: [tone(587, 0, 0.3)],
  lost: [tone(196, 0, 0.2), tone(196, 0.32, 0.2), tone(196, 0.64, 0.2)],
};

/** From this many drops to go the hand is to pause (common practice, no source). */
const NEAR = 4;

/** What sound has to tell of one moment. */
export interface Heard {
  readonly standing: 'approach' | 'inside' | 'over' | 'none';
  readonly near: boolean;
  readonly solid: boolean;
  readonly lost: boolean;
  /** The line being poured, so that nothing is told only because another bottle came. */
  readonly line: string | null;
}

/** The moment as it is now. */
export const heard = computed<Heard>(() => {
  const now = pour.value?.now ?? null;
  const drops = now?.drops ?? null;
  return {
    standing: standing.value,
    near: standing.value === 'approach' && drops !== null && drops <= NEAR,
    solid: solid.value && !unread.value,
    lost: link.value === 'lost' || link.value === 'silent',
    line: pour.value?.phase === 'pouring' || pour.value?.phase === 'over' ? (now?.line ?? null) : null,
  };
});

/** The sound that a change from one moment to the next calls for; the gravest where several do. */
export function cueOf(before: Heard, now: Heard): Cue | null {
  if (now.lost) return before.lost ? null : 'lost';
  if (now.standing === 'over' && before.standing !== 'over') return 'over';
  if (now.standing === 'inside' && before.standing !== 'inside') return 'inside';
  if (now.line === null || now.line !== before.line) return null;
  if (now.solid && !before.solid) return 'settled';
  return now.near && !before.near ? 'near' : null;
}
