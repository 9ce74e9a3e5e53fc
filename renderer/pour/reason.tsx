import { useEffect, useRef, useState } from 'preact/hooks';
import type { ActionView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { actWith, reasoning } from '../state/doing.ts';

function Asking({ action }: { action: ActionView }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [text, setText] = useState('');
  const [lot, setLot] = useState('');
  useEffect(() => dialog.current?.showModal(), []);
  const away = () => {
    reasoning.value = null;
  };
  const reason = text.trim();
  const adds = action.do === 'add-line';
  const whole = reason !== '' && (!adds || lot.trim() !== '');
  return (
    <dialog
      ref={dialog}
      aria-labelledby="reason-title"
      aria-describedby={action.means === undefined ? undefined : 'reason-means'}
      onClose={away}
    >
      <form
        method="dialog"
        onSubmit={(event) => {
          event.preventDefault();
          if (whole) actWith(reason, lot.trim());
        }}
      >
        <h2 id="reason-title">{action.label}</h2>
        {action.means !== undefined && <p id="reason-means">{action.means}</p>}
        {adds && (
          <label>
            Code of the lot to pour from
            <input
              type="text"
              autoComplete="off"
              spellcheck={false}
              maxLength={64}
              required
              value={lot}
              onInput={(event) => setLot(event.currentTarget.value)}
            />
          </label>
        )}
        <label>
          Reason, for the record
          <textarea
            rows={3}
            maxLength={500}
            required
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
            onKeyDown={(event) => {
              if (event.key === 'Enter' && !event.shiftKey) {
                event.preventDefault();
                event.currentTarget.form?.requestSubmit();
              }
            }}
          />
        </label>
        <p class="row dialog-foot">
          <button type="submit" class="press primary" disabled={!whole}>
            {action.label}
          </button>
          <Press onPress={away}>Back</Press>
        </p>
      </form>
    </dialog>
  );
}

/** Asks why, where an action wants a reason. Nothing is edited: what was is kept with its reason. */
export function Reason() {
  const action = reasoning.value;
  return action === null ? null : <Asking key={action.do} action={action} />;
}
