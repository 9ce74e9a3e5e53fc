import { useComputed } from '@preact/signals';
import { dropText } from '../figures/drop.ts';
import { display, phase, poured, step, willSettle } from '../state/bench.ts';

/** What the display reads, what is poured of this line, the drop and the target: all to be compared. */
export function Ledger() {
  const now = step.value;
  const soFar = useComputed(() => (poured.value === null ? '–' : `${poured.value} g`));
  const mark = useComputed(() => (willSettle.value === null ? '–' : `${willSettle.value.poured} g`));
  return (
    <dl class="ledger">
      <div>
        <dt>the display reads</dt>
        <dd>{display}</dd>
      </div>
      {now !== null && (
        <>
          <div>
            <dt>{phase.value === 'withdrawing' ? 'taken out' : 'poured now'}</dt>
            <dd>{soFar}</dd>
          </div>
          <div>
            <dt>drop</dt>
            <dd>{dropText(now.drop, now.dropU)}</dd>
          </div>
          {phase.value === 'pouring' && (
            <div class="foreseen">
              <dt>will settle at</dt>
              <dd>{mark}</dd>
            </div>
          )}
          <div>
            <dt>target</dt>
            <dd>{now.free === true ? 'none' : `${now.target} g`}</dd>
          </div>
        </>
      )}
    </dl>
  );
}
