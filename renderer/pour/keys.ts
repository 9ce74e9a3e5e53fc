import { useEffect } from 'preact/hooks';
import { ended, hasPour, pour, simulated } from '../state/bench.ts';
import { actByKey, leave, reasoning } from '../state/doing.ts';
import { dropOne, squeeze } from '../state/pipette.ts';
import { fragmentOf } from '../state/route.ts';

const TYPING = 'input:not([type=radio]), textarea, select, [contenteditable]';
const PRESSABLE = 'button, a[href], summary, input[type=radio]';

function inside(target: EventTarget | null, selector: string): boolean {
  return target instanceof Element && target.closest(selector) !== null;
}

/** A key that belongs to what has the focus: a field being typed in, or a button that space and enter press. */
function belongsToFocus(event: KeyboardEvent): boolean {
  if (inside(event.target, TYPING)) return true;
  return (event.key === ' ' || event.key === 'Enter') && inside(event.target, PRESSABLE);
}

const openRecord = (): void => {
  const batch = pour.value?.batch;
  if (batch !== undefined) location.hash = fragmentOf('records', batch);
};

/** What a key does that is no action of the host. */
function byWindow(key: string): boolean {
  if (ended.value && (key === ' ' || key === 'Enter' || key === 'PageDown')) openRecord();
  else if (ended.value && key === 'l') void leave();
  else if (simulated.value && key === 'd') void dropOne();
  else if (simulated.value && key === 'f') void squeeze(true);
  else return false;
  return true;
}

function onDown(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
  if (!hasPour.value || reasoning.value !== null || belongsToFocus(event)) return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  // A key held down, as a pedal under a resting foot is, does its thing once.
  if (event.repeat) {
    if (key === ' ' || key === 'PageDown' || key === 'PageUp') event.preventDefault();
    return;
  }
  if (actByKey(event.key) || byWindow(key)) event.preventDefault();
}

function onUp(event: KeyboardEvent): void {
  if (event.key.toLowerCase() === 'f') void squeeze(false);
}

/** Keys of Pour work from anywhere on the screen, unless a field is being typed in. */
export function useKeys(): void {
  useEffect(() => {
    const letGo = () => void squeeze(false);
    addEventListener('keydown', onDown);
    addEventListener('keyup', onUp);
    addEventListener('blur', letGo);
    return () => {
      removeEventListener('keydown', onDown);
      removeEventListener('keyup', onUp);
      removeEventListener('blur', letGo);
      letGo();
    };
  }, []);
}
