import { useEffect } from 'preact/hooks';
import { placeText } from '../figures/place.ts';
import { putAway, troubles } from '../state/troubles.ts';
import { Press } from './press.tsx';

function onKey(event: KeyboardEvent): void {
  const last = troubles.value.at(-1);
  if (event.key !== 'Escape' || last === undefined) return;
  // What is open above the page takes the key first.
  if (document.querySelector('dialog[open], :popover-open') === null) putAway(last.source);
}

/** Every trouble not yet put away: what, where, and what to do next. */
export function Troubles() {
  useEffect(() => {
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);
  return (
    <div role="alert">
      {troubles.value.map(({ source, trouble }) => (
        <div class="trouble" key={source}>
          <p>
            <strong>{trouble.what}</strong>
            {trouble.where !== null && <span class="soft"> ({placeText(trouble.where)})</span>}
            <br />
            {trouble.next}
          </p>
          <Press slim keyName="Escape" onPress={() => putAway(source)}>
            Put away
          </Press>
        </div>
      ))}
    </div>
  );
}
