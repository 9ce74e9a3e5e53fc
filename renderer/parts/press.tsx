import type { ComponentChildren } from 'preact';
import { keyLabel } from '../figures/keys.ts';

interface PressProps {
  readonly children: ComponentChildren;
  readonly onPress: () => void;
  readonly keyName?: string | undefined;
  readonly primary?: boolean;
  readonly disabled?: boolean;
  readonly slim?: boolean;
}

/** A pointer does not take the focus, so that space and pedal keep their meaning after a click. */
export const keepFocus = (event: Event): void => event.preventDefault();

/** A button with the key that does the same. */
export function Press({ children, onPress, keyName, primary, disabled, slim }: PressProps) {
  return (
    <button
      type="button"
      class={`press${primary === true ? ' primary' : ''}${slim === true ? ' slim' : ''}`}
      disabled={disabled === true}
      aria-keyshortcuts={keyName}
      onMouseDown={keepFocus}
      onClick={onPress}
    >
      {children}
      {keyName !== undefined && (
        <span class="key" aria-hidden="true">
          {keyLabel(keyName)}
        </span>
      )}
    </button>
  );
}
