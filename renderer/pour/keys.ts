import { effect } from '@preact/signals';
import { useLayoutEffect } from 'preact/hooks';
import { keepFocusOnLeaf } from '../parts/back.ts';
import { actions, choices, ended, hasPour, pour, simulated } from '../state/bench.ts';
import { atPractice } from '../state/benches.ts';
import { confirmByCode, putRefusalAway, refusal, tornCode } from '../state/bottle.ts';
import { detailed } from '../state/detail.ts';
import { actByKey, keyName, leave, reasoning } from '../state/doing.ts';
import { benchId } from '../state/host.ts';
import { finishLesson } from '../state/lesson.ts';
import { dropOne, squeeze } from '../state/pipette.ts';
import { fragmentOf } from '../state/route.ts';
import { type Decided, MODIFIERS, SCAN_GAP_MS, type Stroke, silence, strike } from '../state/scan.ts';

const TYPING = 'input:not([type=radio], [type=checkbox]), textarea, select, [contenteditable]';
const PRESSABLE = 'button, a[href], summary, input[type=radio], input[type=checkbox]';

/** A character waits so long for the next one of a code: the gap within a code, and what a busy window is late. */
const HOLD_MS = SCAN_GAP_MS + 15;

function inside(target: EventTarget | null, selector: string): boolean {
  return target instanceof Element && target.closest(selector) !== null;
}

const paging = (key: string): boolean => key === 'PageUp' || key === 'PageDown';

/** A key that belongs to what has the focus: a field being typed in, or a button that space and enter press. */
export function belongsToFocus(event: KeyboardEvent): boolean {
  // A line of text has no pages: a pedal works while the focus is in it.
  if (inside(event.target, TYPING)) return !(event.target instanceof HTMLInputElement && paging(event.key));
  // A link takes enter and no space bar: after a press on a tab the pedal works.
  const link = event.target instanceof HTMLAnchorElement;
  return (event.key === 'Enter' || (event.key === ' ' && !link)) && inside(event.target, PRESSABLE);
}

const openRecord = (): void => {
  const batch = pour.value?.batch;
  if (batch !== undefined) location.hash = fragmentOf('records', batch);
};

/** Goes to the field that a key names, where there is one. */
function toField(name: string): boolean {
  const field = document.querySelector<HTMLInputElement>(
    `.bench input[aria-keyshortcuts="${CSS.escape(name)}"]`,
  );
  field?.focus();
  field?.select();
  return field !== null;
}

/** What a key does once a batch has ended: a lesson goes on to its feedback, and has no record to open. */
function atEnd(name: string): boolean {
  const lesson = atPractice(benchId.value);
  if (name === 'Space') lesson ? void finishLesson() : openRecord();
  else if (name === 'L' && !lesson) void leave();
  else return false;
  return true;
}

/** What a key does that is no action of the host. */
function byWindow(name: string): boolean {
  if (ended.value && atEnd(name)) return true;
  if (refusal.value !== null && name === 'Space') putRefusalAway();
  else if (choices.value.length > 0 && name === 'L') detailed.value = !detailed.value;
  else if (simulated.value && name === 'D') void dropOne();
  else if (simulated.value && name === 'F') void squeeze(true);
  else return toField(name);
  return true;
}

/** What a key struck by a hand does. While a refusal stands, the primary puts it away and confirms nothing. */
function does(key: string): boolean {
  const name = keyName(key);
  if (refusal.value !== null && name === 'Space') return byWindow(name);
  return actByKey(key) || byWindow(name);
}

let held: readonly Stroke[] = [];
let waiting: ReturnType<typeof setTimeout> | undefined;

/** Does what was decided of the strokes so far. @returns whether anything came of them, or may yet */
function take(decided: Decided): boolean {
  clearTimeout(waiting);
  held = decided.held;
  if (held.length > 0) waiting = setTimeout(() => take(silence(held)), HOLD_MS);
  if (decided.torn !== null) tornCode(decided.torn);
  if (decided.code !== null) void confirmByCode(decided.code);
  const did = decided.keys.map(does);
  return did.includes(true) || held.length > 0 || decided.code !== null;
}

function letGo(): void {
  clearTimeout(waiting);
  held = [];
  void squeeze(false);
}

function onDown(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
  const { key } = event;
  if (!hasPour.value || reasoning.value !== null || MODIFIERS.includes(key)) return;
  // Within a code even enter belongs to the code, whatever has the focus.
  if (belongsToFocus(event) && (held.length === 0 || inside(event.target, TYPING))) return;
  // A key held down, as a pedal under a resting foot is, does its thing once.
  if (event.repeat) {
    if (key === ' ' || paging(key)) event.preventDefault();
    return;
  }
  if (take(strike(held, { key, at: event.timeStamp }))) event.preventDefault();
}

function onUp(event: KeyboardEvent): void {
  // The stroke down may still be held back: the squeeze lasts as long as the key was down.
  if (event.key.toLowerCase() === 'f') setTimeout(() => void squeeze(false), HOLD_MS);
}

/** Keys of Pour work from anywhere on the screen, unless a field is being typed in. */
export function useKeys(): void {
  useLayoutEffect(() => {
    // Each bench on the screen listens for itself: where one follows another, the new one is there before the old one
    // goes, and what both shared would go with the old.
    const down = (event: KeyboardEvent): void => onDown(event);
    const up = (event: KeyboardEvent): void => onUp(event);
    addEventListener('keydown', down);
    addEventListener('keyup', up);
    addEventListener('blur', letGo);
    // An action takes its own button away: the focus goes to the leaf, not to nowhere.
    const stop = effect(() => {
      if (actions.value.length + choices.value.length >= 0)
        requestAnimationFrame(() => setTimeout(keepFocusOnLeaf));
    });
    return () => {
      stop();
      removeEventListener('keydown', down);
      removeEventListener('keyup', up);
      removeEventListener('blur', letGo);
      letGo();
    };
  }, []);
}
