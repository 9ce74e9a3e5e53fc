import { useLayoutEffect } from 'preact/hooks';
import { belongsToFocus } from '../pour/keys.ts';
import { press } from '../state/balance.ts';
import { live } from '../state/bench.ts';
import { actByKey, run } from '../state/care.ts';
import { keyName } from '../state/doing.ts';
import { typedText } from '../state/typing.ts';

/** In the field for typed figures space and letters mean an action while no figure has been begun. */
const beganNothing = ({ target, key }: KeyboardEvent): boolean =>
  target instanceof Element &&
  target.closest('.typed input') !== null &&
  typedText.value === '' &&
  (key === ' ' || /^[a-z]$/i.test(key));

function onDown(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
  if (run.value === null || (belongsToFocus(event) && !beganNothing(event))) return;
  const name = keyName(event.key);
  if (actByKey(name)) event.preventDefault();
  else if (name === 'Z' && run.value.step?.number === 1 && !live.value.typed) {
    void press('zero');
    event.preventDefault();
  }
}

/** Keys and pedal of a check work from anywhere on the leaf, unless a field is being typed in. */
export function useCheckKeys(): void {
  useLayoutEffect(() => {
    // Its own listener, for the same reason as on the bench: see useKeys.
    const down = (event: KeyboardEvent): void => onDown(event);
    addEventListener('keydown', down);
    return () => removeEventListener('keydown', down);
  }, []);
}
