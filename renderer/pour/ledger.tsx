import { useComputed } from '@preact/signals';
import { display, poured, step } from '../state/bench.ts';

/** A drop in milligrams, as it is written. */
export function dropText(grams: string): string {
  const mg = Number(grams) * 1000;
  return `${mg >= 10 ? mg.toFixed(0) : mg.toFixed(1)} mg`;
}

/** What the display reads, what is poured of this line, the drop and the target: all to be compared. */
export function Ledger() {
  const now = step.value;
  const soFar = useComputed(() => (poured.value === null ? '–' : `${poured.value} g`));
  return (
    <dl class="ledger">
      <div>
        <dt>the display reads</dt>
        <dd>{display}</dd>
      </div>
      {now !== null && (
        <>
          <div>
            <dt>poured now</dt>
            <dd>{soFar}</dd>
          </div>
          <div>
            <dt>drop</dt>
            <dd>{dropText(now.drop)}</dd>
          </div>
          <div>
            <dt>target</dt>
            <dd>{now.target} g</dd>
          </div>
        </>
      )}
    </dl>
  );
}
