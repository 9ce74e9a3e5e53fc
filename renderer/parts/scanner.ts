import { hasPour } from '../state/bench.ts';
import { screen } from '../state/route.ts';
import {
  type FieldStrokes,
  MODIFIERS,
  SCAN_GAP_MS,
  type Stroke,
  silence,
  strike,
  strikeField,
} from '../state/scan.ts';
import { openScanned, tellTorn } from '../state/scanned.ts';

/** What takes writing; one that wants codes itself says so, and a scan stays in it. */
const FIELD = 'input:not([type=radio], [type=checkbox], [type=range]), textarea, select';
const OWN = '[data-own-codes]';
/** A character waits so long for the next one of a code: the gap within a code, and what a busy window is late. */
const HOLD_MS = SCAN_GAP_MS + 15;

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

const go = (address: string): void => {
  location.hash = address;
};

/** Keys given back: they are not looked at a second time. */
const givenBack = new WeakSet<Event>();
let held: readonly Stroke[] = [];
let waiting: ReturnType<typeof setTimeout> | undefined;
let inField: { readonly field: Field; readonly now: FieldStrokes } | null = null;

const down = (key: string): KeyboardEvent => {
  const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true });
  givenBack.add(event);
  return event;
};

/** Keys that a hand struck do what they would have done at once. */
function giveBack(keys: readonly string[]): void {
  for (const key of keys) (document.activeElement ?? document.body).dispatchEvent(down(key));
}

function swallow(event: Event): void {
  event.preventDefault();
  event.stopImmediatePropagation();
}

function quiet(): void {
  const { keys, torn } = silence(held);
  held = [];
  giveBack(keys);
  if (torn !== null) tellTorn(torn);
}

/** Outside a field a character is held back until it is known whether it begins a code. */
function hold(event: KeyboardEvent): void {
  if (event.repeat) return;
  clearTimeout(waiting);
  const decided = strike(held, { key: event.key, at: event.timeStamp });
  held = decided.held;
  const passes = held.length === 0 && decided.code === null;
  giveBack(passes ? decided.keys.slice(0, -1) : decided.keys);
  if (decided.torn !== null) tellTorn(decided.torn);
  if (!passes) swallow(event);
  if (held.length > 0) waiting = setTimeout(quiet, HOLD_MS);
  if (decided.code !== null) void openScanned(decided.code, go);
}

function putBack(field: Field, text: string): void {
  field.value = text;
  const kind = field instanceof HTMLSelectElement ? 'change' : 'input';
  field.dispatchEvent(new Event(kind, { bubbles: true }));
}

/** Enter does after all what it does in this field. */
function enter(field: Field): void {
  if (!field.dispatchEvent(down('Enter'))) return;
  if (field instanceof HTMLTextAreaElement) {
    field.setRangeText('\n', field.selectionStart, field.selectionEnd, 'end');
    field.dispatchEvent(new Event('input', { bubbles: true }));
  } else field.form?.requestSubmit();
}

/**
 * In a field everything is written as it comes. A code that names a lot or a record leaves the field as it was before;
 * any other was meant for the field, and stays.
 */
function follow(event: KeyboardEvent, field: Field): void {
  const before = inField?.field === field ? inField.now : null;
  const { now, code } = strikeField(before, { key: event.key, at: event.timeStamp }, field.value);
  inField = now === null ? null : { field, now };
  if (code === null || before === null) return;
  swallow(event);
  void openScanned(
    code,
    (address) => {
      putBack(field, before.before);
      go(address);
    },
    true,
  ).then((known) => {
    if (!known) enter(field);
  });
}

function onDown(event: KeyboardEvent): void {
  if (givenBack.has(event) || event.isComposing || MODIFIERS.includes(event.key)) return;
  // At the bench a code confirms the bottle in hand: Pour hears it itself.
  if (event.ctrlKey || event.altKey || event.metaKey || (screen.value === 'pour' && hasPour.value)) return;
  const field = event.target instanceof Element ? event.target.closest<Field>(FIELD) : null;
  if (field === null) hold(event);
  else if (!field.matches(OWN)) follow(event, field);
}

/** A keyboard-type scanner opens what its code names from every screen. */
export function hearScanner(): void {
  addEventListener('keydown', onDown, true);
}
