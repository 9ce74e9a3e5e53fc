import { useEffect } from 'preact/hooks';
import { Press } from '../parts/press.tsx';
import { Outcome } from '../record/sheet.tsx';
import { heading, phase, pour } from '../state/bench.ts';
import { leave } from '../state/doing.ts';
import { openRecord, record } from '../state/records.ts';
import { fragmentOf } from '../state/route.ts';

/** After a batch has ended: what came of it, as its record tells it, and its way to the shelf. */
export function After() {
  const batch = heading.value?.batch;
  useEffect(() => {
    if (batch !== undefined) void openRecord(batch);
  }, [batch]);
  const made = record.value;
  return (
    <section class="after" aria-label="After the batch">
      {phase.value === 'abandoned' && (
        <p class="soft">This batch was abandoned. Its record keeps every pour and the reason.</p>
      )}
      {made !== null && made.batch === batch && <Outcome record={made} />}
    </section>
  );
}

/** The ways on from an ended batch. */
export function AfterBar() {
  const open = () => {
    const batch = pour.value?.batch;
    if (batch !== undefined) location.hash = fragmentOf('records', batch);
  };
  return (
    <footer class="bar">
      <div class="bar-actions">
        <Press primary keyName="Space" onPress={open}>
          Open the record
        </Press>
        <Press keyName="L" onPress={() => void leave()}>
          Leave the bench
        </Press>
      </div>
    </footer>
  );
}
