import { useEffect } from 'preact/hooks';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import {
  backUp,
  countText,
  fetchWaiting,
  forgetRestore,
  keeping,
  keepTrouble,
  kept,
  restore,
  restoreFrom,
  restoreWaits,
} from '../state/keeping.ts';

/** A checked copy of everything, and the way back to one. */
export function KeptSafe() {
  useEffect(() => void fetchWaiting(), []);
  const waits = restoreWaits.value;
  const wrong = keepTrouble.value?.of === 'restore';
  return (
    <section class="backup" aria-labelledby="backup">
      <h2 id="backup" class="caption">
        Backup and restore
      </h2>
      <div class="row">
        <Press slim disabled={keeping.value} onPress={() => void backUp()}>
          Back up everything
        </Press>
        <span class="soft">
          One file: records, traces, formulas and lots. Practice, with its learners and lessons, goes into a
          second one beside it, "-practice" after the name; keep the two together.
        </span>
      </div>
      <form
        class="with-press"
        onSubmit={(event) => {
          event.preventDefault();
          void restore();
        }}
      >
        <label>
          Restore from the file
          <input
            type="text"
            autoComplete="off"
            spellcheck={false}
            maxLength={4000}
            aria-invalid={wrong}
            aria-describedby={wrong ? 'told-kept' : undefined}
            value={restoreFrom}
            onInput={(event) => {
              restoreFrom.value = event.currentTarget.value;
            }}
          />
        </label>
        <button type="submit" class="press slim" disabled={keeping.value}>
          Check and restore
        </button>
      </form>
      <InPlace id="told-kept" trouble={keepTrouble.value?.trouble ?? null} />
      <div role="status" class="kept">
        {kept.value.map((text) => (
          <p key={text}>{text}</p>
        ))}
      </div>
      {waits !== null && (
        <div class="row">
          <span>A restore is waiting for the next start: {countText(waits)}.</span>
          <Press slim onPress={() => void forgetRestore()}>
            Restore nothing
          </Press>
        </div>
      )}
    </section>
  );
}
