import { effect } from '@preact/signals';
import { volume } from '../state/preferences.ts';
import { admits, type Cue, cueOf, type Heard, heard, PATTERNS, type Told } from '../state/sounds.ts';

/** A tone swells and fades within this time, seconds, so that it does not click. */
const SOFTEN = 0.012;
/** Loudness at full volume: two tones never clip. */
const LOUDEST = 0.5;

let audio: AudioContext | null = null;
/** The tones that sound, or are to: a graver pattern ends them. */
let sounding: OscillatorNode[] = [];

/** Plays a pattern at the chosen volume; nothing where sounds are off. */
export function play(cue: Cue): void {
  if (volume.value === 0) return;
  audio ??= new AudioContext();
  // A browser holds sound back until the person has touched the page; the first touch lets it go on.
  if (audio.state === 'suspended') void audio.resume();
  for (const one of sounding) one.stop();
  sounding = [];
  const loud = LOUDEST * (volume.value / 100) ** 2;
  for (const { pitch, at, lasts } of PATTERNS[cue]) {
    const from = audio.currentTime + 0.01 + at;
    const gain = new GainNode(audio, { gain: 0 });
    gain.gain.setValueAtTime(0, from);
    gain.gain.linearRampToValueAtTime(loud, from + SOFTEN);
    gain.gain.setValueAtTime(loud, from + lasts - SOFTEN);
    gain.gain.linearRampToValueAtTime(0, from + lasts);
    const source = new OscillatorNode(audio, { type: 'triangle', frequency: pitch });
    source.connect(gain).connect(audio.destination);
    sounding.push(source);
    source.start(from);
    source.stop(from + lasts + SOFTEN);
  }
}

/** Tells changes of the bench by sound, on whatever screen the window is. @returns what stops it */
export function tellBySound(): () => void {
  let before: Heard | null = null;
  let last: Told | null = null;
  return effect(() => {
    const now = heard.value;
    const cue = before === null ? null : cueOf(before, now);
    before = now;
    const at = performance.now();
    if (cue === null || !admits(last, cue, at)) return;
    last = { cue, at };
    play(cue);
  });
}
