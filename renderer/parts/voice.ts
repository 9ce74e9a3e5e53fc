import { effect, signal } from '@preact/signals';
import { spoken } from '../state/preferences.ts';
import { saying } from '../state/saying.ts';

/** The voice that speaks: English, and of this machine, so that nothing spoken leaves it; null where there is none. */
export const voice = signal<SpeechSynthesisVoice | null>(null);

/** The voice to take among those a browser has: the default one first. */
export function chosenVoice<T extends { lang: string; localService: boolean; default: boolean }>(
  all: readonly T[],
): T | null {
  const own = all.filter((one) => one.localService && /^en\b/i.test(one.lang));
  return own.find((one) => one.default) ?? own[0] ?? null;
}

/** Says a text; what was being said gives way. Nothing where the browser has no voice. */
export function say(text: string): void {
  if (voice.value === null) return;
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice.value;
  words.lang = voice.value.lang;
  speechSynthesis.cancel();
  speechSynthesis.speak(words);
}

/** Speaks each step once, where that is wanted. @returns what stops it */
export function tellBySpeech(): () => void {
  if (!('speechSynthesis' in globalThis)) return () => undefined;
  const look = () => {
    voice.value = chosenVoice(speechSynthesis.getVoices());
  };
  look();
  speechSynthesis.addEventListener('voiceschanged', look);
  let said: string | null = null;
  const stop = effect(() => {
    const now = saying.value;
    if (!spoken.value || voice.value === null || now === null || now.step === said) return;
    said = now.step;
    say(now.text);
  });
  return () => {
    stop();
    speechSynthesis.removeEventListener('voiceschanged', look);
    speechSynthesis.cancel();
  };
}
