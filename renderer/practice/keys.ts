import { useLayoutEffect } from 'preact/hooks';
import { simulated } from '../state/bench.ts';
import { keyName } from '../state/doing.ts';
import { dropOne, squeeze } from '../state/pipette.ts';

const FIELD = 'input:not([type=radio], [type=checkbox]), textarea, select';
const PRESSABLE = 'button, a[href], summary, input[type=radio], input[type=checkbox]';

const inside = (target: EventTarget | null, selector: string): boolean =>
  target instanceof Element && target.closest(selector) !== null;

/** What each key does in a guided lesson. */
export interface GuidedKeys {
  readonly primary: () => void;
  readonly zero: () => void;
  readonly tare: () => void;
  readonly liquid: boolean;
}

/** Keys of a guided lesson, from anywhere on the screen unless a field is being typed in. */
export function useGuidedKeys(keys: GuidedKeys): void {
  useLayoutEffect(() => {
    const down = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.repeat || event.ctrlKey || event.altKey || event.metaKey) return;
      if (inside(event.target, FIELD)) return;
      const name = keyName(event.key);
      if ((event.key === ' ' || event.key === 'Enter') && inside(event.target, PRESSABLE)) return;
      const hands = simulated.value && keys.liquid;
      if (name === 'Space') keys.primary();
      else if (name === 'Z') keys.zero();
      else if (name === 'T') keys.tare();
      else if (hands && name === 'D') void dropOne();
      else if (hands && name === 'F') void squeeze(true);
      else return;
      event.preventDefault();
    };
    const up = (event: KeyboardEvent): void => {
      if (event.key.toLowerCase() === 'f') void squeeze(false);
    };
    addEventListener('keydown', down);
    addEventListener('keyup', up);
    return () => {
      removeEventListener('keydown', down);
      removeEventListener('keyup', up);
      void squeeze(false);
    };
  }, [keys]);
}
