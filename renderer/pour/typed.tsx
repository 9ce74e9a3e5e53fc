import { useEffect, useRef } from 'preact/hooks';
import { display, shows } from '../state/bench.ts';
import { actByKey } from '../state/doing.ts';
import { takeTyped, typedText, typedTrouble } from '../state/typing.ts';

const FIGURE_KEY = /^[0-9.,+-]$/;
const FIELD = 'input:not([type=radio]), textarea, select';

/** The pedal's page keys do the action of the moment; so do space and letters while no figure has been begun. */
function meansAction(event: KeyboardEvent): boolean {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat) return false;
  if (event.key === 'PageDown' || event.key === 'PageUp') return true;
  return typedText.value === '' && (event.key === ' ' || /^[a-z]$/i.test(event.key));
}

/** A figure may be begun wherever the focus is: a balance that types like a keyboard does not look. */
function useFigureKeys(field: { readonly current: HTMLInputElement | null }): void {
  useEffect(() => {
    field.current?.focus({ preventScroll: true });
    const begin = (event: KeyboardEvent) => {
      const elsewhere = event.target instanceof Element && event.target.closest(FIELD) !== null;
      if (!elsewhere && !event.ctrlKey && !event.metaKey && FIGURE_KEY.test(event.key))
        field.current?.focus({ preventScroll: true });
    };
    addEventListener('keydown', begin, true);
    return () => removeEventListener('keydown', begin, true);
  }, [field]);
}

/** The field for what the display shows, where the balance has no way to send it. `keyed` where keys of Pour work. */
export function Typed({ keyed }: { keyed: boolean }) {
  const field = useRef<HTMLInputElement>(null);
  useFigureKeys(field);
  const trouble = typedTrouble.value;
  return (
    <form
      class="typed"
      aria-labelledby="typed-title"
      onSubmit={(event) => {
        event.preventDefault();
        void takeTyped();
      }}
    >
      <h2 id="typed-title">Typed by hand</h2>
      <label>
        Figure on the display
        <input
          data-own-codes
          ref={field}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          spellcheck={false}
          maxLength={40}
          aria-invalid={trouble !== null}
          aria-describedby="typed-said"
          value={typedText}
          onInput={(event) => {
            typedText.value = event.currentTarget.value;
            typedTrouble.value = null;
          }}
          onKeyDown={(event) => {
            if (keyed && meansAction(event) && actByKey(event.key)) event.preventDefault();
          }}
        />
      </label>
      <button type="submit" class="press slim" onMouseDown={(event) => event.preventDefault()}>
        Take the figure
        <span class="key" aria-hidden="true">
          Enter
        </span>
      </button>
      <p id="typed-said" role="status" class={trouble === null ? 'soft' : 'typed-wrong'}>
        {trouble !== null ? `${trouble.what} ${trouble.next}` : shows.value ? `Taken: ${display.value}` : ''}
      </p>
    </form>
  );
}
